package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"os/exec"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// named finds the address in the log line of a server that is ready.
var named = regexp.MustCompile(`http://[0-9.]+:\d+`)

// siteAt returns the address of the site, without a slash at its end, and what
// ends it. Where none is given it starts a demo on a free port.
func siteAt(ctx context.Context, given string) (string, func(), error) {
	if given != "" {
		return strings.TrimRight(given, "/"), func() {}, nil
	}
	ctx, stop := context.WithCancel(ctx)
	cmd := exec.CommandContext(ctx, "go", "run", "./cmd/thole", "demo", "-addr", "127.0.0.1:0")
	group(cmd)
	log, err := cmd.StderrPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		stop()
		return "", nil, err
	}
	end := func() { stop(); _ = cmd.Wait() }
	lines := bufio.NewScanner(log)
	for lines.Scan() {
		if site := named.FindString(lines.Text()); site != "" {
			go func() { _, _ = io.Copy(io.Discard, log) }() // a full pipe would hold the server up
			return site, end, nil
		}
	}
	end()
	return "", nil, errors.New("the demo ended before it was ready")
}

// visit is a page to look at.
type visit struct {
	address string // below the site, with its query
	name    string // of its pictures' files
}

// number is an identifier inside a path.
var number = regexp.MustCompile(`^\d+$`)

// kind returns what addresses of one kind of page share: the path without its
// identifiers. A query asks for another view of the page, which is one picture
// more for each set of names in it.
func kind(u *url.URL) string {
	parts := strings.Split(strings.Trim(u.Path, "/"), "/")
	for i, p := range parts {
		if number.MatchString(p) {
			parts[i] = "n"
		}
	}
	name := strings.Join(parts, "-")
	if name == "" {
		name = "start"
	}
	var asked []string
	for key := range u.Query() {
		asked = append(asked, key)
	}
	slices.Sort(asked)
	if len(asked) > 0 {
		name += "--" + strings.Join(asked, "-")
	}
	if len(name) > 80 {
		name = name[:80]
	}
	return name
}

// crawl follows the links from the start page and returns one page of each
// kind, in the order in which they are found. A link that leads nowhere is an
// error.
func crawl(ctx context.Context, site string) ([]visit, error) {
	seen := map[string]bool{"start": true}
	queue := []visit{{"/", "start"}}
	var pages []visit
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		links, isPage, err := linksOn(ctx, site, v.address)
		if err != nil {
			return nil, err
		}
		if !isPage {
			continue
		}
		pages = append(pages, v)
		for _, u := range links {
			if k := kind(u); !seen[k] {
				seen[k] = true
				queue = append(queue, visit{u.RequestURI(), k})
			}
		}
	}
	return pages, nil
}

// linksOn returns the links of a page to its own site, and false for what is not
// a page.
func linksOn(ctx context.Context, site, address string) ([]*url.URL, bool, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, site+address, nil)
	if err != nil {
		return nil, false, err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return nil, false, err
	}
	defer func() { _ = answer.Body.Close() }()
	// A squad may be too small for the boat that the page begins with: that is a
	// page with a complaint, to be looked at like any other.
	if answer.StatusCode != http.StatusOK && answer.StatusCode != http.StatusUnprocessableEntity {
		return nil, false, fmt.Errorf("%s: %s", address, answer.Status)
	}
	if t, _, err := mime.ParseMediaType(answer.Header.Get("Content-Type")); err != nil || t != "text/html" {
		return nil, false, err
	}
	root, err := html.Parse(answer.Body)
	if err != nil {
		return nil, false, err
	}
	return linksIn(root, answer.Request.URL), true, nil
}

// linksIn returns the addresses on the page's own host that its links name.
func linksIn(root *html.Node, base *url.URL) []*url.URL {
	var links []*url.URL
	for n := range root.Descendants() {
		if n.Type != html.ElementNode || n.Data != "a" {
			continue
		}
		for _, a := range n.Attr {
			if a.Key != "href" {
				continue
			}
			if u, err := base.Parse(a.Val); err == nil && u.Host == base.Host && u.Path != "" && !strings.HasPrefix(a.Val, "#") {
				links = append(links, u)
			}
		}
	}
	return links
}
