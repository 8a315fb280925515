package main

import (
	"context"
	"crypto/tls"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"
)

// healthLimit is how long a server that is well may take to say so; our judgement.
const healthLimit = 3 * time.Second

// healthcheck asks the server at -addr whether it is well.
func healthcheck(ctx context.Context, args []string, to streams) error {
	flags := healthFlags()
	if err := parse(flags, args, to); err != nil {
		return err
	}
	addr := flags.Lookup("addr").Value.String()
	if _, _, err := net.SplitHostPort(addr); err != nil {
		return fmt.Errorf("-addr %q is no address such as %s: %w", addr, defaultAddress, err)
	}
	scheme := "http://"
	if flags.Lookup("tls").Value.String() == "true" {
		scheme = "https://"
	}
	ctx, cancel := context.WithTimeout(ctx, healthLimit)
	defer cancel()
	if err := askHealth(ctx, scheme+addr+"/healthz"); err != nil {
		return fmt.Errorf("not well: %w", err)
	}
	_, err := io.WriteString(to.out, "ok\n")
	return err
}

func healthFlags() *flag.FlagSet {
	flags := flag.NewFlagSet("healthcheck", flag.ContinueOnError)
	flags.String("addr", defaultAddress, "`address` the server listens on")
	flags.Bool("tls", false, "ask by TLS; whose certificate it is does not matter")
	return flags
}

// askHealth asks directly: a proxy set for the machine has no part in it.
func askHealth(ctx context.Context, url string) error {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return err
	}
	client := http.Client{Transport: &http.Transport{
		DisableKeepAlives: true,
		TLSClientConfig:   &tls.Config{InsecureSkipVerify: true}, // of this machine by its address, which no certificate names
	}}
	response, err := client.Do(request)
	if err != nil {
		return err
	}
	defer func() { _ = response.Body.Close() }()
	if response.StatusCode != http.StatusOK {
		return fmt.Errorf("%s answers %s", url, response.Status)
	}
	return nil
}
