package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"syscall"
	"time"

	"thole/api"
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

// serve serves the club until ctx ends.
func serve(ctx context.Context, args []string, to streams) error {
	return serveAs(ctx, "serve", args, to)
}

// demo serves for trying things out.
func demo(ctx context.Context, args []string, to streams) error {
	return serveAs(ctx, "demo", args, to)
}

// serveAs reads the flags of a command that serves, and serves.
func serveAs(ctx context.Context, name string, args []string, to streams) error {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	addr := flags.String("addr", defaultAddress, "`address` to listen on; port 0 picks a free one")
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
	handler, err := house(log)
	if err != nil {
		return err
	}
	log.Info("listening", "url", "http://"+listener.Addr().String())
	return serveUntil(ctx, newServer(handler, log), listener, stopLimit)
}

// house puts the rooms together, from right to left.
func house(log *slog.Logger) (http.Handler, error) {
	service := api.NewService()
	pages, err := ui.New(service, log)
	if err != nil {
		return nil, fmt.Errorf("setting up the pages: %w", err)
	}
	return newHandler(service, pages, log)
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
