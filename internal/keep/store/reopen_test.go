package store

import "testing"

// A server that ends and is started again at once finds the school free, without
// any patience.
func TestClose_LetsGoAtOnce(t *testing.T) {
	patience := lingers
	t.Cleanup(func() { lingers = patience })
	lingers = 0
	both(t, func(t *testing.T, open func(...Options) *Store) {
		for range 40 {
			if err := open().Close(); err != nil {
				t.Fatal(err)
			}
		}
	})
}
