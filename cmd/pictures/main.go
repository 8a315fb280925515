// Command pictures opens every page of a demo club in a browser, at three widths,
// light, dark and printed, keeps a picture of each, and looks for what no page may
// have: an error in the console, something that stands out over the side of the
// screen, or an obstacle that the accessibility checker finds. With -readme it
// draws the few pictures that the README shows instead.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "pictures:", err)
		os.Exit(1)
	}
}

// run reads the flags, sees to a site and looks at its pages.
func run(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("pictures", flag.ContinueOnError)
	at := flags.String("site", "", "`address` of a running Thole; left out, a demo is started for it")
	to := flags.String("to", "pictures", "`folder` to keep the pictures in")
	readme := flags.Bool("readme", false, "draw the pictures of the README, nothing else")
	only := flags.String("only", "", "`word` that the addresses of the pages to show hold; left out, all are shown")
	checker := flags.String("axe", filepath.Join("ui", "node_modules", "axe-core", "axe.min.js"), "`file` of the accessibility checker")
	if err := flags.Parse(args); err != nil {
		return err
	}
	axe, err := os.ReadFile(*checker)
	if err != nil {
		return fmt.Errorf("%w; run npm ci --prefix ui --ignore-scripts first", err)
	}
	if err := os.MkdirAll(*to, 0o755); err != nil {
		return err
	}
	site, stop, err := siteAt(ctx, *at)
	if err != nil {
		return err
	}
	defer stop()
	b, closeBrowser, err := newBrowser(ctx, string(axe))
	if err != nil {
		return err
	}
	defer closeBrowser()
	pages, err := crawl(ctx, site)
	if err != nil {
		return err
	}
	if *readme {
		return drawReadme(b, site, pages, *to)
	}
	pages = slices.DeleteFunc(pages, func(p visit) bool { return !strings.Contains(p.address, *only) })
	return lookAtAll(b, site, pages, *to, out)
}

// lookAtAll keeps the pictures of all pages and returns what is wrong with any.
func lookAtAll(b *browser, site string, pages []visit, to string, out io.Writer) error {
	var problems []error
	for _, p := range pages {
		found, err := b.look(site, p, to)
		if err != nil {
			problems = append(problems, fmt.Errorf("%s: %w", p.address, err))
		}
		for _, f := range found {
			problems = append(problems, fmt.Errorf("%s: %s", p.address, f))
		}
	}
	if err := writeIndex(to, pages); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "%d pages, %d complaints; %s shows them side by side\n", len(pages), len(problems), filepath.Join(to, "index.html"))
	return errors.Join(append(problems, err)...)
}
