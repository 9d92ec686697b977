package web

import (
	"net"
	"sync"
)

// mostConnections is how many connections one address on the network may hold: a
// browser takes one, or six by HTTP/1.1, and a tablet has few browsers.
const mostConnections = 48

// fewEach is a listener that lets no address hold more than so many connections,
// so that one device cannot use up what all share. One more is closed unread.
type fewEach struct {
	net.Listener
	most int

	mu   sync.Mutex
	held map[string]int
}

func newFewEach(l net.Listener) *fewEach {
	return &fewEach{Listener: l, most: mostConnections, held: map[string]int{}}
}

// Accept waits for the next connection of an address that may have it.
func (l *fewEach) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from, _, err := net.SplitHostPort(c.RemoteAddr().String())
		if err != nil {
			from = c.RemoteAddr().String()
		}
		if l.take(from) {
			return &heldConn{Conn: c, release: sync.OnceFunc(func() { l.give(from) })}, nil
		}
		c.Close()
	}
}

func (l *fewEach) take(from string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.held[from] >= l.most {
		return false
	}
	l.held[from]++
	return true
}

func (l *fewEach) give(from string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.held[from]--; l.held[from] <= 0 {
		delete(l.held, from)
	}
}

// heldConn is a connection that counts until it is closed.
type heldConn struct {
	net.Conn
	release func()
}

func (c *heldConn) Close() error {
	defer c.release()
	return c.Conn.Close()
}
