package main

import (
	"context"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	stdlog "log"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"sync"
	"syscall"
	"time"
	_ "time/tzdata" // for machines and images without a time zone database

	"thole/api"
	"thole/api/keep"
	"thole/api/store"
	"thole/ui"
	"thole/ui/figure/code"
	"thole/ui/people"
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
// stop; our judgement.
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

// settings are what a command that serves is told.
type settings struct {
	demo     bool
	addr, db string
	zone     *time.Location
	debug    bool
	jsonLog  bool   // the log is for a program
	metrics  string // address of the figures; "" for none
	cert     string // file of the certificate, and of its key
	key      string
	way      reach
	backups  keep.Schedule
}

// serving returns the flags of a command that serves, and where they are read
// to.
func serving(name string) (*flag.FlagSet, *settings) {
	flags, set := flag.NewFlagSet(name, flag.ContinueOnError), &settings{demo: name == "demo", zone: time.Local}
	flags.StringVar(&set.addr, "addr", defaultAddress, "`address` to listen on; port 0 picks a free one. One that other machines reach needs accounts")
	path, usage := defaultDatabase, "`file` that keeps the records"
	if set.demo {
		path, usage = "", "`file` that keeps the demo club; left out, it is thrown away at the end"
	}
	flags.StringVar(&set.db, "db", path, usage)
	flags.Func("zone", "time zone of the club, a `name` such as Europe/Paris; left out, that of this machine", func(name string) (err error) {
		set.zone, err = zoneNamed(name)
		return err
	})
	flags.BoolVar(&set.way.accounts, "accounts", false, "have people sign in, also on this machine")
	flags.Func("name", "host `names` that the server answers to, such as boathouse.local, with commas between", set.way.hosts)
	flags.StringVar(&set.cert, "tls-cert", "", "`file` of the certificate for TLS, PEM; read again when it changes")
	flags.StringVar(&set.key, "tls-key", "", "`file` of its key, PEM")
	flags.Func("proxy", "`addresses` of the proxy that speaks TLS and is to be believed, with commas between", set.way.proxy)
	flags.StringVar(&set.backups.Folder, "backup-dir", "", "`folder` to make backups in; left out, none are made")
	flags.DurationVar(&set.backups.Every, "backup-every", 24*time.Hour, "`time` from one backup to the next")
	flags.IntVar(&set.backups.Keep, "backup-keep", defaultKeep, "`number` of backups to keep in -backup-dir")
	flags.BoolVar(&set.debug, "debug", false, "log every request")
	flags.BoolVar(&set.jsonLog, "log-json", false, "log lines as JSON")
	flags.StringVar(&set.metrics, "metrics", "", "`address` at which a program that watches the server finds figures, such as 127.0.0.1:9090; left out, nowhere")
	return flags, set
}

// flagsOf returns the flags of a command that serves.
func flagsOf(name string) func() *flag.FlagSet {
	return func() *flag.FlagSet {
		flags, _ := serving(name)
		return flags
	}
}

// serveAs reads the flags of a command that serves, and serves.
func serveAs(ctx context.Context, name string, args []string, to streams) (err error) {
	flags, set := serving(name)
	if err := parse(flags, args, to); err != nil {
		return err
	}
	if err := set.checkBackups(); err != nil {
		return err
	}
	log := newLog(to, set.debug, set.jsonLog)
	certificate, err := set.certificate()
	if err != nil {
		return err
	}
	listener, err := set.listen()
	if err != nil {
		return err
	}
	defer func() { _ = listener.Close() }()
	h, err := open(ctx, set, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, h.close()) }()
	if err := h.invite(ctx, to, log); err != nil {
		return err
	}
	handler := h.handler
	if set.metrics != "" {
		figures := newMetrics(h.service)
		handler = figures.around(handler)
		if err := figures.serve(ctx, set.metrics, log); err != nil {
			return err
		}
	}
	server, scheme := newServer(handler, log), "http://"
	if certificate != nil {
		server.TLSConfig = &tls.Config{GetCertificate: certificate.get, MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}
		listener, scheme = tls.NewListener(listener, server.TLSConfig), "https://"
	}
	log.Info("listening", "url", scheme+listener.Addr().String())
	return serveUntil(ctx, server, listener, stopLimit)
}

// checkBackups refuses a schedule that makes no sense, and a folder that is not
// there: a typing error would be found out when the backup is needed.
func (s *settings) checkBackups() error {
	b := &s.backups
	if b.Folder == "" {
		return nil
	}
	info, err := os.Stat(b.Folder)
	switch {
	case err != nil:
		return fmt.Errorf("-backup-dir: %w", err)
	case !info.IsDir():
		return fmt.Errorf("-backup-dir %s is no folder", b.Folder)
	case b.Every < time.Minute:
		return errors.New("-backup-every is a minute at least, such as 24h")
	case b.Keep < 1:
		return errors.New("-backup-keep is how many backups stay, 1 at least")
	}
	return nil
}

// certificate returns the certificate for TLS; nil where there is to be none.
func (s *settings) certificate() (*certificate, error) {
	switch {
	case s.cert == "" && s.key == "":
		return nil, nil
	case s.cert == "" || s.key == "":
		return nil, errors.New("give both -tls-cert and -tls-key")
	}
	c := &certificate{cert: s.cert, key: s.key}
	s.way.tls = true
	_, err := c.get(nil)
	return c, err
}

// certificate is read from files, and again when they change.
type certificate struct {
	cert, key string
	mu        sync.Mutex
	read      time.Time // when the file was changed that was read
	loaded    *tls.Certificate
}

// get returns the certificate. One that cannot be read leaves the former in use.
func (c *certificate) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	info, err := os.Stat(c.cert)
	if err == nil && c.loaded != nil && info.ModTime().Equal(c.read) {
		return c.loaded, nil
	}
	if err == nil {
		var fresh tls.Certificate
		if fresh, err = tls.LoadX509KeyPair(c.cert, c.key); err == nil {
			c.loaded, c.read = &fresh, info.ModTime()
		}
	}
	if c.loaded != nil {
		return c.loaded, nil
	}
	return nil, fmt.Errorf("reading the certificate: %w", err)
}

// listen opens the address, and turns accounts on where others can reach it.
func (s *settings) listen() (net.Listener, error) {
	tcp, err := net.ResolveTCPAddr("tcp", s.addr)
	if err != nil {
		return nil, fmt.Errorf("-addr %q is no address such as %s: %w", s.addr, defaultAddress, err)
	}
	if !tcp.IP.IsLoopback() || s.way.secure() || len(s.way.names) > 0 {
		s.way.accounts = true
	}
	if err := s.way.check(tcp); err != nil {
		return nil, err
	}
	listener, err := net.ListenTCP("tcp", tcp)
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("%s is taken by another program: stop that one, or choose another port with -addr (port 0 picks a free one)", tcp)
	}
	if err == nil {
		s.way.port = listener.Addr().(*net.TCPAddr).Port
	}
	return listener, err
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
	gate    *people.Gate // nil without accounts
	way     *reach
	scratch string // folder to throw away at the end
	beside  sync.WaitGroup
	stop    context.CancelFunc // of what runs beside the requests
}

// open puts the rooms together, from right to left. An empty path stands for a
// file that is thrown away when the house closes.
func open(ctx context.Context, set *settings, log *slog.Logger) (h *house, err error) {
	h, path := &house{way: &set.way}, set.db
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
	if set.demo {
		if err := prepareDemo(ctx, path, set); err != nil {
			return nil, err
		}
	}
	if h.store, err = store.Open(ctx, path); err != nil {
		return nil, whatToDo(err, path)
	}
	if err := h.needAccounts(ctx); err != nil {
		return nil, err
	}
	h.service = api.NewService(h.store, api.InZone(set.zone), api.LogTo(log), api.WithAccounts(h.way.accounts))
	if h.way.accounts {
		h.gate = people.NewGate(h.service.People, h.way.secure(), log)
	}
	if set.demo { // where the file was there and empty
		if err := fillDemo(ctx, h.service); err != nil {
			return nil, fmt.Errorf("filling in the demo club: %w", err)
		}
	}
	h.runBeside(ctx, set, log)
	pages, err := ui.New(h.gate, h.service, log)
	if err != nil {
		return nil, fmt.Errorf("setting up the pages: %w", err)
	}
	h.handler, err = newHandler(h.service, pages, h.way, h.gate, log)
	return h, err
}

// whatToDo adds to an error of the file what helps.
func whatToDo(err error, path string) error {
	if errors.Is(err, store.ErrDamaged) || errors.Is(err, store.ErrNotDatabase) {
		return fmt.Errorf("%w\nNothing was changed. To put the newest backup in its place: thole restore -db %s -replace BACKUP", err, path)
	}
	return err
}

// runBeside wipes what was removed, and makes backups, until the house closes.
func (h *house) runBeside(ctx context.Context, set *settings, log *slog.Logger) {
	if err := keep.ClearTemporary(); err != nil {
		log.Warn("files that a killed server left behind cannot be removed", "err", err)
	}
	ctx, h.stop = context.WithCancel(context.WithoutCancel(ctx))
	h.beside.Go(func() { h.service.Keep.Wipe(ctx, log) })
	if h.gate != nil {
		h.beside.Go(func() { h.gate.Sweep(ctx) })
	}
	if set.backups.Folder == "" {
		return
	}
	backups := &keep.Backups{Schedule: set.backups}
	h.service.Keep.Backups = backups
	h.beside.Go(func() { backups.Run(ctx, h.store.Path(), time.Now, log) })
}

// prepareDemo fills a file that is not there yet with the demo club. It is filled
// under another name, so that a program that is killed meanwhile leaves no half of
// a club.
func prepareDemo(ctx context.Context, path string, set *settings) (err error) {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	part := path + ".filling"
	for _, suffix := range []string{"", "-wal", "-shm"} { // of one that was killed
		if err := os.Remove(part + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	records, err := store.Open(ctx, part)
	if err != nil {
		return err
	}
	service := api.NewService(records, api.InZone(set.zone))
	err = fillDemo(ctx, service)
	service.Close()
	if err = errors.Join(err, records.Close()); err != nil {
		return fmt.Errorf("filling in the demo club: %w", errors.Join(err, os.Remove(part)))
	}
	return os.Rename(part, path)
}

// fillDemo fills an empty file with the demo club and its season; a file that holds
// something stays as it is.
func fillDemo(ctx context.Context, service *api.Service) error {
	empty, err := service.Demo.Empty(ctx)
	if err != nil || !empty {
		return err
	}
	if err := service.Demo.FillDemo(ctx); err != nil {
		return err
	}
	return service.Season.Fill(ctx)
}

// needAccounts turns accounts on where there are some: nobody gets around them
// by starting the server in another way.
func (h *house) needAccounts(ctx context.Context) error {
	accounts, err := h.store.Accounts(ctx)
	h.way.accounts = h.way.accounts || len(accounts) > 0
	return err
}

// invite prints the link that makes the first coach, where there is none.
func (h *house) invite(ctx context.Context, to streams, log *slog.Logger) error {
	if !h.way.accounts {
		return nil
	}
	link, needed, err := h.service.People.FirstLink(ctx)
	if err != nil || !needed {
		return err
	}
	address := h.way.outside() + "/join/" + link.Secret
	fmt.Fprintf(to.err, "\nNobody can sign in yet. Open this link, or read the code with a phone, and make the first coach's account.\n"+
		"It works once, until %s.\n\n  %s\n\n%s\n", link.ExpiresAt.Format("2 Jan 2006, 15:04"), address, code.Text(address))
	if !h.way.secure() {
		log.Warn("without TLS: for the club's own network only")
	}
	return nil
}

// close ends the big work, then the records.
func (h *house) close() error {
	var errs []error
	if h.stop != nil {
		h.stop()
		h.beside.Wait()
	}
	if h.gate != nil {
		h.gate.Close()
	}
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

func newLog(to streams, debug, asJSON bool) *slog.Logger {
	level := slog.LevelInfo
	if debug {
		level = slog.LevelDebug
	}
	how := &slog.HandlerOptions{Level: level}
	if asJSON {
		return slog.New(slog.NewJSONHandler(to.err, how))
	}
	return slog.New(slog.NewTextHandler(to.err, how))
}

func newServer(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: headerLimit,
		ReadTimeout:       readLimit,
		WriteTimeout:      writeLimit,
		IdleTimeout:       idleLimit,
		MaxHeaderBytes:    headerBytes,
		ConnState:         newIdlers(mostIdle).note,
		ErrorLog:          stdlog.New(withoutAddresses{slog.NewLogLogger(log.Handler(), slog.LevelWarn).Writer()}, "", 0),
	}
}

// withoutAddresses leaves out of lines whence connections come: net/http names it where
// a handshake fails.
type withoutAddresses struct{ io.Writer }

var addresses = regexp.MustCompile(`from \S+:\d+`)

// Write writes a line.
func (w withoutAddresses) Write(line []byte) (int, error) {
	if _, err := w.Writer.Write(addresses.ReplaceAll(line, []byte("from …"))); err != nil {
		return 0, err
	}
	return len(line), nil
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
