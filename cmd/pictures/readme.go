package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/chromedp"
)

// shown are the pages of the README, by the name of the picture. Where a page is
// found by a link, the name stands for the kind of its address.
var shown = []struct{ picture, kind string }{
	{"set-up", "setup--boat"},
	{"work-sheet", "sheets-n"},
	{"seat", "seat--class-heel_to_pin_cm-inboard_cm-oar_length_cm-span_cm"},
	{"recording", "recordings-n"},
	{"line-ups", "line-ups"},
	{"seat-race", "seat-races-n"},
	{"video", "video"},
}

// Size of a picture of the README, px: a desk, as far as it reaches at first sight;
// our judgement.
const readmeWidth, readmeHeight = 1100, 760

// drawReadme keeps a picture of each main page, by day.
func drawReadme(b *browser, site string, pages []visit, to string) error {
	for _, s := range shown {
		address, err := addressOf(pages, s.kind)
		if err != nil {
			return err
		}
		if err := b.first(site+address, filepath.Join(to, s.picture+".png")); err != nil {
			return fmt.Errorf("%s: %w", address, err)
		}
	}
	return nil
}

// addressOf finds the page of a kind; a longer kind that begins like it is one
// as well.
func addressOf(pages []visit, kind string) (string, error) {
	for _, p := range pages {
		if p.name == kind {
			return p.address, nil
		}
	}
	for _, p := range pages {
		if strings.HasPrefix(p.name, kind) {
			return p.address, nil
		}
	}
	return "", fmt.Errorf("no page of the demo is of the kind %s", kind)
}

// first keeps what of a page is seen at first.
func (b *browser) first(address, file string) error {
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	if err := b.show(ctx, "", screen{"light", readmeWidth}); err != nil {
		return err
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(readmeWidth, readmeHeight), chromedp.Navigate(address)); err != nil {
		return err
	}
	picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	return os.WriteFile(file, picture, 0o644)
}
