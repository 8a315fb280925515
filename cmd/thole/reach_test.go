package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"math/big"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"thole/ui/page"
)

// asked sends a request through a reach and returns the status, and how the
// pages are told that it came.
func asked(a *reach, host, from string, headers map[string]string) (int, page.Reach) {
	var how page.Reach
	h := a.around(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { how = page.ReachOf(r.Context()) }))
	r := httptest.NewRequest(http.MethodGet, "http://"+host+"/", nil)
	r.RemoteAddr = from
	for name, value := range headers {
		r.Header.Set(name, value)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Code, how
}

func TestWhoIsAnsweredAndHow(t *testing.T) {
	lan := &reach{accounts: true, names: []string{"boathouse.local"}, port: 8080}
	proxied := &reach{accounts: true, names: []string{"thole.example.org"}, port: 8080}
	if err := proxied.proxy("127.0.0.1, 172.18.0.0/16"); err != nil {
		t.Fatal(err)
	}
	alone := new(reach)
	forwarded := map[string]string{"X-Forwarded-Proto": "https", "X-Forwarded-For": "10.0.0.9, 203.0.113.7"}
	for name, c := range map[string]struct {
		way        *reach
		host, from string
		headers    map[string]string
		status     int
		client     string
		encrypted  bool
		base       string
	}{
		"by name":                 {lan, "boathouse.local:8080", "192.168.1.5:1", nil, 200, "192.168.1.5", false, "http://boathouse.local:8080"},
		"in capitals, with a dot": {lan, "BoatHouse.local.:8080", "192.168.1.5:1", nil, 200, "192.168.1.5", false, "http://BoatHouse.local.:8080"},
		"by address":              {lan, "192.168.1.2:8080", "192.168.1.5:1", nil, 200, "192.168.1.5", false, "http://192.168.1.2:8080"},
		"from this machine":       {lan, "localhost:8080", "127.0.0.1:1", nil, 200, "127.0.0.1", false, "http://boathouse.local:8080"},
		"by a foreign name":       {lan, "evil.example:8080", "192.168.1.5:1", nil, 421, "", false, ""},
		"from afar without TLS":   {lan, "boathouse.local:8080", "203.0.113.7:1", nil, 403, "", false, ""},
		"claims of a stranger":    {lan, "boathouse.local:8080", "203.0.113.7:1", map[string]string{"X-Forwarded-Proto": "https", "X-Forwarded-For": "127.0.0.1"}, 403, "", false, ""},
		"by the proxy":            {proxied, "thole.example.org", "127.0.0.1:1", forwarded, 200, "203.0.113.7", true, "https://thole.example.org"},
		"by the proxy's network":  {proxied, "thole.example.org", "172.18.0.3:1", forwarded, 200, "203.0.113.7", true, "https://thole.example.org"},
		"by the proxy, plain":     {proxied, "thole.example.org", "127.0.0.1:1", map[string]string{"X-Forwarded-For": "203.0.113.7"}, 403, "", false, ""},
		"beside the proxy":        {proxied, "thole.example.org", "198.51.100.1:1", forwarded, 403, "", false, ""},
		"without accounts":        {alone, "localhost:8080", "127.0.0.1:1", nil, 200, "", false, ""},
		"by address, without":     {alone, "192.168.1.2:8080", "192.168.1.5:1", nil, 421, "", false, ""},
	} {
		status, how := asked(c.way, c.host, c.from, c.headers)
		client := ""
		if how.Client.IsValid() {
			client = how.Client.String()
		}
		if status != c.status || client != c.client || how.Encrypted != c.encrypted || how.Base != c.base {
			t.Errorf("%s: %d %q %v %q", name, status, client, how.Encrypted, how.Base)
		}
	}
}

func TestNamesAndProxiesThatMakeNoSense(t *testing.T) {
	for _, text := range []string{"", "a b", "https://x", "x:8080", "a,,b"} {
		if new(reach).hosts(text) == nil {
			t.Errorf("name %q is taken", text)
		}
	}
	for _, text := range []string{"", "proxy.local", "10.0.0.0/33", "10.0.0.1,"} {
		if new(reach).proxy(text) == nil {
			t.Errorf("proxy %q is taken", text)
		}
	}
}

// certified writes a certificate for this machine, valid from a day on, and
// returns its files.
func certified(t *testing.T, folder string, serial int64) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{SerialNumber: big.NewInt(serial), NotAfter: time.Now().Add(time.Hour), DNSNames: []string{"localhost"}}
	body, err := x509.CreateCertificate(rand.Reader, form, form, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(folder, "cert.pem"), filepath.Join(folder, "key.pem")
	for path, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: body}, key: {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

// TestFirstStartBehindTLS goes from the command line to the first coach.
func TestFirstStartBehindTLS(t *testing.T) {
	cert, key := certified(t, t.TempDir(), 7)
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-tls-cert", cert, "-tls-key", key, "-name", "localhost")
	if p.join == "" || !strings.HasPrefix(p.url, "https://") {
		t.Fatalf("no link, at %s", p.url)
	}
	client := http.Client{
		Transport:     &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, DisableKeepAlives: true},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	answer, err := client.PostForm(p.url+p.join, url.Values{"name": {"Carla"}, "password": {"row the boat gently"}})
	if err != nil {
		t.Fatal(err)
	}
	_, _ = io.Copy(io.Discard, answer.Body)
	_ = answer.Body.Close()
	if answer.StatusCode != http.StatusSeeOther || len(answer.Cookies()) != 2 || answer.Header.Get("Strict-Transport-Security") == "" {
		t.Errorf("%d %v", answer.StatusCode, answer.Header)
	}
	for _, c := range answer.Cookies() {
		if !c.Secure || !strings.HasPrefix(c.Name, "__Host-") {
			t.Errorf("%s", c)
		}
	}
	code, stdout, stderr := output(t, "healthcheck", "-tls", "-addr", strings.TrimPrefix(p.url, "https://"))
	if code != exitOK || stdout != "ok\n" {
		t.Errorf("health: %d %s", code, stderr)
	}
}

func TestACertificateIsReadAgain(t *testing.T) {
	folder := t.TempDir()
	cert, key := certified(t, folder, 1)
	c := &certificate{cert: cert, key: key}
	serial := func() int64 {
		got, err := c.get(nil)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := x509.ParseCertificate(got.Certificate[0])
		if err != nil {
			t.Fatal(err)
		}
		return leaf.SerialNumber.Int64()
	}
	if serial() != 1 {
		t.Error("another certificate")
	}
	certified(t, folder, 2)
	later := time.Now().Add(time.Minute)
	if err := os.Chtimes(cert, later, later); err != nil {
		t.Fatal(err)
	}
	if serial() != 2 {
		t.Error("the former certificate")
	}
	if err := os.Remove(cert); err != nil {
		t.Fatal(err)
	}
	if serial() != 2 {
		t.Error("one that cannot be read took its place")
	}
	if _, err := (&settings{cert: cert}).certificate(); err == nil {
		t.Error("a certificate without a key")
	}
}

// TestAccountsStayOn holds that who starts the server in another way does not
// get around the accounts; and that the command line sets a password.
func TestAccountsStayOn(t *testing.T) {
	file := filepath.Join(t.TempDir(), "club.db")
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-accounts", "-db", file)
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, Transport: &http.Transport{DisableKeepAlives: true}}
	answer, err := client.PostForm(p.url+p.join, url.Values{"name": {"Carla"}, "password": {"row the boat gently"}})
	if err != nil || answer.StatusCode != http.StatusSeeOther {
		t.Fatal(answer, err)
	}
	_ = answer.Body.Close()
	p.end(t)
	again := start(t, "serve", "-addr", "127.0.0.1:0", "-db", file)
	if again.join != "" {
		t.Error("another first link")
	}
	if got := get(t, again.url+"/api/v1/athletes"); got.status != http.StatusUnauthorized {
		t.Errorf("status %d", got.status)
	}
	set := func(name, typed string) (int, string) {
		var said strings.Builder
		err := password(t.Context(), []string{"-db", file, "-account", name}, streams{strings.NewReader(typed), &said, io.Discard})
		if err != nil {
			return exitFailed, err.Error()
		}
		return exitOK, said.String()
	}
	for _, c := range []struct {
		name, typed string
		code        int
		says        string
	}{
		{"carla", "gently down the stream\n", exitOK, "Carla has a new password"},
		{"carla", "short\n", exitFailed, "At least 12"},
		{"carla", "", exitFailed, "At least 12"},
		{"nobody", "gently down the stream\n", exitFailed, "nobody signs in"},
	} {
		if code, said := set(c.name, c.typed); code != c.code || !strings.Contains(said, c.says) {
			t.Errorf("%s: %d %s", c.name, code, said)
		}
	}
	answer, err = client.PostForm(again.url+"/sign-in", url.Values{"name": {"Carla"}, "password": {"gently down the stream"}})
	if err != nil || answer.StatusCode != http.StatusSeeOther {
		t.Error(answer, err)
	}
	_ = answer.Body.Close()
}

func TestFlagsFromTheEnvironment(t *testing.T) {
	t.Setenv("THOLE_ADDR", "192.0.2.1:0")
	if code, _, complaint := output(t, "serve"); code != exitFailed || !strings.Contains(complaint, "192.0.2.1:0 is no address of a network") {
		t.Errorf("%d %s", code, complaint)
	}
	if code, _, complaint := output(t, "serve", "-addr", "nowhere"); code != exitFailed || !strings.Contains(complaint, `"nowhere"`) {
		t.Errorf("the command line comes first: %d %s", code, complaint)
	}
	t.Setenv("THOLE_ZONE", "Nowhere/Atall")
	if code, _, complaint := output(t, "serve"); code != exitUsage || !strings.Contains(complaint, "THOLE_ZONE") {
		t.Errorf("%d %s", code, complaint)
	}
}

func TestHelpListsEveryFlag(t *testing.T) {
	_, help, _ := output(t, "help")
	for _, want := range []string{"thole serve\n", "-tls-cert", "-proxy", "-name", "-accounts", "-zone", "thole password\n", "-account", "THOLE_TLS_CERT", "thole healthcheck\n"} {
		if !strings.Contains(help, want) {
			t.Errorf("no %s", want)
		}
	}
}
