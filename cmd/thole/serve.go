package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"syscall"
	"time"
	_ "time/tzdata" // for machines and images without a time zone database

	"thole/api"
	"thole/api/store"
	"thole/ui"
)

// defaultAddress is where Thole listens unless told otherwise: this machine
// only.
const defaultAddress = "127.0.0.1:8080"

// Limits of one request, so that a stuck or slow peer cannot hold a connection
// for ever. Reading and writing leave time for a large recording over a poor
// line.
const (
	headerLimit = 5 * time.Second
	readLimit   = time.Minute
	writeLimit  = 90 * time.Second
	idleLimit   = 2 * time.Minute
	headerBytes = 64 << 10
)

// stopLimit is how long requests under way may take once the server is told to
// stop.
const stopLimit = 10 * time.Second

// defaultDatabase is the file that keeps a club's records unless told
// otherwise.
const defaultDatabase = "thole.db"

// serve serves the club until ctx ends.
func serve(ctx context.Context, args []string, to streams) error {
	return serveAs(ctx, "serve", args, to)
}

// demo serves a club to try things out on, in a file of its own.
func demo(ctx context.Context, args []string, to streams) error {
	return serveAs(ctx, "demo", args, to)
}

// serveAs reads the flags of a command that serves, and serves.
func serveAs(ctx context.Context, name string, args []string, to streams) (err error) {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	addr := flags.String("addr", defaultAddress, "`address` to listen on; port 0 picks a free one")
	path, usage := defaultDatabase, "`file` that keeps the records"
	if name == "demo" {
		path, usage = "", "`file` that keeps the demo club; left out, it is thrown away at the end"
	}
	db := flags.String("db", path, usage)
	zone := time.Local
	flags.Func("zone", "time zone of the club, a `name` such as Europe/Paris; left out, that of this machine", func(name string) (err error) {
		zone, err = zoneNamed(name)
		return err
	})
	debug := flags.Bool("debug", false, "log every request")
	if err := parse(flags, args, to); err != nil {
		return err
	}
	log := newLog(to, *debug)
	listener, err := listen(*addr)
	if err != nil {
		return err
	}
	defer func() { _ = listener.Close() }()
	h, err := open(ctx, name == "demo", *db, zone, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, h.close()) }()
	log.Info("listening", "url", "http://"+listener.Addr().String())
	return serveUntil(ctx, newServer(h.handler, log), listener, stopLimit)
}

// zoneNamed finds a time zone by its name in the IANA time zone database.
func zoneNamed(name string) (*time.Location, error) {
	if name == "" { // which Go takes for UTC
		return nil, errors.New("name a time zone, such as Europe/Paris or UTC")
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil, errors.New("there is no such time zone: name one as the IANA time zone database does, such as Europe/Paris or UTC")
	}
	return zone, nil
}

// house is the program put together over its records.
type house struct {
	store   *store.Store
	service *api.Service
	handler http.Handler
	scratch string // folder to throw away at the end
}

// open puts the rooms together, from right to left. An empty path stands for a
// file that is thrown away when the house closes.
func open(ctx context.Context, demo bool, path string, zone *time.Location, log *slog.Logger) (h *house, err error) {
	h = new(house)
	built := h // a return of nil must not lose what is to be closed
	defer func() {
		if err != nil {
			err = errors.Join(err, built.close())
		}
	}()
	if path == "" {
		if h.scratch, err = os.MkdirTemp("", "thole-demo-"); err != nil {
			return nil, fmt.Errorf("making room for the demo club: %w", err)
		}
		path = filepath.Join(h.scratch, "thole-demo.db")
	}
	if h.store, err = store.Open(ctx, path); err != nil {
		return nil, err
	}
	h.service = api.NewService(h.store, api.InZone(zone), api.LogTo(log))
	if demo {
		if err := h.service.Demo.FillDemo(ctx); err != nil {
			return nil, fmt.Errorf("filling in the demo club: %w", err)
		}
	}
	pages, err := ui.New(h.service, log)
	if err != nil {
		return nil, fmt.Errorf("setting up the pages: %w", err)
	}
	h.handler, err = newHandler(h.service, pages, log)
	return h, err
}

// close ends the big work, then the records.
func (h *house) close() error {
	var errs []error
	if h.service != nil {
		h.service.Close()
	}
	if h.store != nil {
		errs = append(errs, h.store.Close())
	}
	if h.scratch != "" {
		errs = append(errs, os.RemoveAll(h.scratch))
	}
	return errors.Join(errs...)
}

func newLog(to streams, debug bool) *slog.Logger {
	level := slog.LevelInfo
	if debug {
		level = slog.LevelDebug
	}
	return slog.New(slog.NewTextHandler(to.err, &slog.HandlerOptions{Level: level}))
}

// listen opens addr and says in plain words why it cannot.
func listen(addr string) (net.Listener, error) {
	tcp, err := net.ResolveTCPAddr("tcp", addr)
	if err != nil {
		return nil, fmt.Errorf("-addr %q is no address such as %s: %w", addr, defaultAddress, err)
	}
	if err := mayListen(tcp); err != nil {
		return nil, err
	}
	listener, err := net.ListenTCP("tcp", tcp)
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("%s is taken by another program: stop that one, or choose another port with -addr (port 0 picks a free one)", tcp)
	}
	return listener, err
}

// mayListen refuses addresses that other machines can reach: there are no
// accounts that would keep strangers away from what a club knows about its
// athletes.
func mayListen(addr *net.TCPAddr) error {
	if addr.IP.IsLoopback() {
		return nil
	}
	return fmt.Errorf("-addr %s could be reached from other machines, and there are no accounts yet to keep strangers out: listen on this machine only, such as %s", addr, defaultAddress)
}

func newServer(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: headerLimit,
		ReadTimeout:       readLimit,
		WriteTimeout:      writeLimit,
		IdleTimeout:       idleLimit,
		MaxHeaderBytes:    headerBytes,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}

// serveUntil serves until ctx ends, then lets requests under way finish for as
// long as limit allows.
func serveUntil(ctx context.Context, server *http.Server, listener net.Listener, limit time.Duration) error {
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), limit)
	defer cancel()
	if err := server.Shutdown(last); err != nil {
		_ = server.Close()
		return fmt.Errorf("stopped with requests still under way after %v", limit)
	}
	return nil
}
