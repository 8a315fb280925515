package uitest

import "regexp"

var termLink = regexp.MustCompile(`<a class="term" href="[^"]*"[^>]*>([^<]*)</a>`)

// Unlinked is a page whose labels do not lead to the glossary. Tests of plain pages
// compare labels by what they say; that they lead to their terms has tests of its
// own.
func Unlinked(page string) string { return termLink.ReplaceAllString(page, "$1") }
