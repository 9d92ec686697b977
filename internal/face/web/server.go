package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"time"

	"hangtrue/internal/face/app"
)

// Config says what is served, and how.
type Config struct {
	Keeper  app.Keeper
	Shelves app.Shelves          // the documents beside the rigs
	School  *School              // nil: a folder of one's own, without people
	LAN     *LAN                 // nil: this machine alone
	Addr    string               // host:port to listen on, this machine only; "" is 127.0.0.1 and any free port
	Name    string               // a further host name under which browsers may ask; "" for none
	Tool    string               // the program and its version, for the foot of sheets
	Out     io.Writer            // where the address is printed; nil: nowhere
	Started func(address string) // called once it listens; may be nil
	Open    bool                 // open the user's browser, where there is one
	Log     *slog.Logger         // nil: standard error
	Now     func() time.Time     // nil: the clock
}

// Server serves the pages. Make one with [New].
type Server struct {
	Config
	solver     *solver
	jobs       *jobs
	faultWork  faultWork
	whatIfWork whatIfWork
	flightWork flightWork
	assets     *assets
	pages      *pages
	routes     []route
	handler    http.Handler
	listener   net.Listener
	secure     net.Listener // for the network, TLS
	trust      net.Listener // for the network, the trust page
}

// New makes a server; it does not listen yet.
func New(c Config) *Server {
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(os.Stderr, nil))
	}
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.Tool == "" {
		c.Tool = "hangtrue"
	}
	if c.Addr == "" {
		c.Addr = "127.0.0.1:0"
	}
	s := &Server{Config: c, solver: newSolver(), jobs: newJobs(), assets: newAssets()}
	s.pages = newPages(s.assets)
	s.routes = routes()
	s.handler = s.guard(s.mux(s.routes))
	return s
}

// Handler returns all pages and actions behind the guards that each needs.
func (s *Server) Handler() http.Handler { return s.handler }

// Listen takes the port and returns the address of the first page.
func (s *Server) Listen() (string, error) {
	host, _, err := net.SplitHostPort(s.Addr)
	if err != nil {
		return "", fmt.Errorf("web: address %q: %w", s.Addr, err)
	}
	// Other machines come in by TLS alone, to a school's pages.
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return "", fmt.Errorf("web: address %q can be reached from other machines; use 127.0.0.1 or localhost", s.Addr)
	}
	s.listener, err = net.Listen("tcp", s.Addr)
	if err != nil {
		return "", fmt.Errorf("web: %w", err)
	}
	if s.LAN != nil {
		if s.School == nil {
			s.listener.Close()
			return "", errors.New("web: a folder of rigs is served to this machine only; a school is needed for others")
		}
		if err := s.listenLAN(); err != nil {
			s.listener.Close()
			return "", err
		}
	}
	return "http://" + s.listener.Addr().String() + "/", nil
}

// Serve answers until the context ends, then lets answers under way finish. It
// returns nil when the context ended it.
func (s *Server) Serve(ctx context.Context) error {
	if s.listener == nil {
		if _, err := s.Listen(); err != nil {
			return err
		}
	}
	return s.serveAll(ctx)
}

// Serve makes a server, listens, prints the address, opens a browser if asked,
// and serves until the context ends.
func Serve(ctx context.Context, c Config) error {
	s := New(c)
	url, err := s.Listen()
	if err != nil {
		return err
	}
	if c.Out != nil {
		if _, err := fmt.Fprintf(c.Out, "Hangtrue serves at %s (end it with Ctrl-C)\n", url); err != nil {
			s.listener.Close()
			return fmt.Errorf("web: print the address: %w", err)
		}
		if c.LAN != nil {
			fmt.Fprintf(c.Out, "Tablets: %s, trusted once at %s\nFingerprint: %s\n", c.LAN.Origin(), c.LAN.TrustURL(c.LAN.Name), c.LAN.Fingerprint)
		}
	}
	if c.Started != nil {
		c.Started(url)
	}
	if c.Open {
		// Whoever has no browser here has the address.
		if err := openBrowser(url); err != nil {
			s.Log.Info("no browser was opened", "reason", err)
		}
	}
	return s.Serve(ctx)
}
