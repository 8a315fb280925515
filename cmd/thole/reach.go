package main

import (
	"cmp"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"strings"

	"thole/ui/page"
)

// reach is who can come to the server, and how.
type reach struct {
	accounts bool           // people sign in; without, only this machine gets an answer
	names    []string       // that the server answers to, beside its addresses
	proxies  []netip.Prefix // that tell the truth about who asks and how
	tls      bool           // the server itself speaks TLS
	port     int            // that it listens on
}

// secure reports whether people come by TLS alone.
func (a *reach) secure() bool { return a.tls || len(a.proxies) > 0 }

// hosts reads names that are separated by commas.
func (a *reach) hosts(text string) error {
	for _, name := range strings.Split(text, ",") {
		name = strings.ToLower(strings.TrimSpace(name))
		if name == "" || strings.ContainsAny(name, "/:@ ") {
			return errors.New("name hosts alone, such as boathouse.local or thole.example.org, with commas between")
		}
		a.names = append(a.names, name)
	}
	return nil
}

// proxy reads addresses, or networks, that are separated by commas.
func (a *reach) proxy(text string) error {
	for _, one := range strings.Split(text, ",") {
		one = strings.TrimSpace(one)
		if ip, err := netip.ParseAddr(one); err == nil {
			one = netip.PrefixFrom(ip, ip.BitLen()).String()
		}
		network, err := netip.ParsePrefix(one)
		if err != nil {
			return errors.New("name addresses or networks, such as 127.0.0.1 or 172.18.0.0/16, with commas between")
		}
		a.proxies = append(a.proxies, network)
	}
	return nil
}

// come is how one request came.
type come struct {
	client    netip.Addr
	encrypted bool
}

// of reports how a request came. What a proxy says counts only from a trusted one:
// of the addresses it lists the last is the one that it saw itself.
func (a *reach) of(r *http.Request) come {
	peer, _ := netip.ParseAddrPort(r.RemoteAddr)
	c := come{peer.Addr().Unmap(), r.TLS != nil}
	if !slices.ContainsFunc(a.proxies, func(p netip.Prefix) bool { return p.Contains(c.client) }) {
		return c
	}
	c.encrypted = r.Header.Get("X-Forwarded-Proto") == "https"
	list := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	if client, err := netip.ParseAddr(strings.TrimSpace(list[len(list)-1])); err == nil {
		c.client = client.Unmap()
	}
	return c
}

// private reports whether an address is of this machine or of a network of the
// club's own (RFC 1918, RFC 4193, and link-local ones).
func private(a netip.Addr) bool {
	return a.IsLoopback() || a.IsPrivate() || a.IsLinkLocalUnicast()
}

// answersTo reports whether the server answers to the name in a Host header. A
// foreign site can point a name of its own at this server and so pass for the
// same origin; its name gives it away, which an address cannot.
func (a *reach) answersTo(host string) bool {
	if namesThisMachine(host) {
		return true
	}
	name := hostAlone(host)
	_, err := netip.ParseAddr(strings.Trim(name, "[]"))
	return a.accounts && (err == nil || slices.Contains(a.names, strings.ToLower(strings.TrimSuffix(name, "."))))
}

func hostAlone(host string) string {
	if alone, _, err := net.SplitHostPort(host); err == nil {
		return alone
	}
	return host
}

// around answers those who come by a name of this server, by TLS or from the
// club's own network, and tells the pages how they came.
func (a *reach) around(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !a.answersTo(r.Host) {
			refuse(w, http.StatusMisdirectedRequest, a.wrongName())
			return
		}
		c := a.of(r)
		if a.accounts && !c.encrypted && !private(c.client) {
			refuse(w, http.StatusForbidden, "Without TLS this server answers only to the club’s own network.")
			return
		}
		if c.encrypted {
			w.Header().Set("Strict-Transport-Security", "max-age=31536000")
		}
		if a.accounts {
			how := page.Reach{Client: c.client, Encrypted: c.encrypted, Base: a.base(r.Host, c.encrypted)}
			r = r.WithContext(page.WithReach(r.Context(), how))
		}
		next.ServeHTTP(w, r)
	})
}

func (a *reach) wrongName() string {
	if a.accounts {
		return "This server does not answer to that name. Whoever runs it can add it with -name."
	}
	return "This server answers only to the name localhost and the addresses of this machine."
}

// base is what addresses begin with that a phone can open: as the reader came,
// or, from this machine, by the first name or address of the server.
func (a *reach) base(host string, encrypted bool) string {
	scheme := "http://"
	if encrypted {
		scheme = "https://"
	}
	if !namesThisMachine(host) {
		return scheme + host
	}
	return a.outside()
}

// outside is the beginning of addresses from other machines.
func (a *reach) outside() string {
	switch {
	case len(a.proxies) > 0 && len(a.names) > 0:
		return "https://" + a.names[0]
	case a.tls:
		return "https://" + a.hostPort(443)
	}
	return "http://" + a.hostPort(80)
}

// hostPort is the first name or address with the port, unless that is the usual
// one.
func (a *reach) hostPort(usual int) string {
	host := ""
	if len(a.names) > 0 {
		host = a.names[0]
	}
	host = cmp.Or(host, ownAddress(), "localhost")
	if a.port == usual {
		return host
	}
	return net.JoinHostPort(host, strconv.Itoa(a.port))
}

// ownAddress is an address of this machine in a network of its own; "" for none.
func ownAddress() string {
	list, _ := net.InterfaceAddrs() // none where the system does not tell
	for _, one := range list {
		if network, ok := one.(*net.IPNet); ok {
			if ip, ok := netip.AddrFromSlice(network.IP.To4()); ok && ip.IsPrivate() {
				return ip.String()
			}
		}
	}
	return ""
}

// check refuses what could be reached by strangers without TLS.
func (a *reach) check(addr *net.TCPAddr) error {
	ip, _ := netip.AddrFromSlice(addr.IP)
	ip = ip.Unmap()
	if ip.IsValid() && !ip.IsUnspecified() && !private(ip) && !a.secure() {
		return fmt.Errorf("-addr %s is no address of a network of your own: give a certificate with -tls-cert and -tls-key, or name the proxy that speaks TLS with -proxy", addr)
	}
	return nil
}
