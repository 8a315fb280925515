package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"thole/api"
)

// metrics are figures about the server's work for a program that watches it. None
// tells who asked for what: addresses are counted by their kind alone.
type metrics struct {
	all     *prometheus.Registry
	seconds *prometheus.HistogramVec
}

func newMetrics(service *api.Service) *metrics {
	m := &metrics{all: prometheus.NewRegistry(), seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "thole_request_seconds", Help: "Time that requests took, by kind of address, method and status.",
		Buckets: []float64{.001, .003, .01, .03, .1, .3, 1, 3, 10, 30, 100},
	}, []string{"kind", "method", "status"})}
	m.all.MustRegister(m.seconds, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	gauge := func(name, help string, value func() float64) {
		m.all.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, value))
	}
	gauge("thole_heavy_working", "Pages and imports that take long, under way.", func() float64 { return float64(service.Club.Gate.Load().Inside) })
	gauge("thole_heavy_waiting", "Pages and imports that wait for their turn.", func() float64 { return float64(service.Club.Gate.Load().Waiting) })
	gauge("thole_jobs", "Jobs that work or wait.", func() float64 { return float64(service.Jobs.Working()) })
	gauge("thole_uploads", "Files on their way in.", func() float64 { n, _ := service.Club.Uploads.Load(); return float64(n) })
	gauge("thole_upload_bytes", "What has come of them.", func() float64 { _, bytes := service.Club.Uploads.Load(); return float64(bytes) })
	m.all.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{
		Name: "thole_heavy_refused_total", Help: "Pages and imports that there was no room for.",
	}, func() float64 { return float64(service.Club.Gate.Load().Refused) }))
	return m
}

// kindOf reports what kind of address a path is.
func kindOf(path string) string {
	for _, kind := range [][2]string{{"/api/v1/", "interface"}, {"/assets/", "asset"}, {"/healthz", "health"}, {"/readyz", "health"}} {
		if strings.HasPrefix(path, kind[0]) {
			return kind[1]
		}
	}
	return "page"
}

// methods are those that are counted by name: a client can make up others.
var methods = map[string]bool{"GET": true, "HEAD": true, "OPTIONS": true, "POST": true, "PUT": true, "DELETE": true}

// around counts and times the requests that next answers.
func (m *metrics) around(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		rec, begun := &recorder{ResponseWriter: w}, time.Now()
		method := "other"
		if methods[r.Method] {
			method = r.Method
		}
		defer func() {
			m.seconds.WithLabelValues(kindOf(r.URL.Path), method, strconv.Itoa(rec.status)).Observe(time.Since(begun).Seconds())
		}()
		next.ServeHTTP(rec, r)
	})
}

// serve answers the figures at an address of their own, beside the club's pages,
// until ctx ends.
func (m *metrics) serve(ctx context.Context, address string, log *slog.Logger) error {
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	if err != nil {
		return fmt.Errorf("-metrics: %w", err)
	}
	server := newServer(m.handler(), log)
	context.AfterFunc(ctx, func() { _ = server.Close() })
	log.Info("metrics", "url", "http://"+listener.Addr().String()+"/metrics")
	go func() {
		if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			log.Error("the metrics are no longer served", "err", err)
		}
	}()
	return nil
}

// handler answers the figures in the usual text exposition.
func (m *metrics) handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.all, promhttp.HandlerOpts{}))
	return mux
}
