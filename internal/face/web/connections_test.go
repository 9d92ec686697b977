package web

import (
	"net"
	"testing"
	"time"
)

func TestFewEach(t *testing.T) {
	under, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer under.Close()
	l := newFewEach(under)
	l.most = 2
	accepted := make(chan net.Conn, 8)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			accepted <- c
		}
	}()
	dial := func() net.Conn {
		t.Helper()
		c, err := net.Dial("tcp", under.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		return c
	}
	dial()
	dial()
	first := <-accepted
	<-accepted
	// A third is closed unread.
	third := dial()
	third.SetReadDeadline(time.Now().Add(10 * time.Second))
	if _, err := third.Read(make([]byte, 1)); err == nil || isTimeout(err) {
		t.Errorf("the third stays open: %v", err)
	}
	// Once one is closed, however often, one more is let in.
	first.Close()
	first.Close()
	dial()
	<-accepted
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.held["127.0.0.1"] != 2 {
		t.Errorf("%d are held", l.held["127.0.0.1"])
	}
}

func isTimeout(err error) bool {
	e, ok := err.(net.Error)
	return ok && e.Timeout()
}
