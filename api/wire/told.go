package wire

import (
	"regexp"
	"strings"
)

// plainPart is a part of a path that the program itself has: a word of a route, the
// number of a record, or a file.
var plainPart = regexp.MustCompile(`^(v1|[a-z]+(-[a-z]+)*(\.(csv|xlsx|json|css|js|svg|png|webmanifest))?|[0-9]{1,19})?$`)

// named are the parts of paths after which comes what people typed, or a secret.
var named = map[string]bool{"join": true, "see": true, "measure": true, "mappings": true, "jobs": true, "uploads": true}

// LoggedPath returns a path as it may stand in the log: in place of what somebody typed,
// and of what makes a link secret, stands …
func LoggedPath(path string) string {
	parts := strings.Split(path, "/")
	for i, part := range parts {
		if !plainPart.MatchString(part) || i > 0 && part != "" && named[parts[i-1]] {
			parts[i] = "…"
		}
	}
	return strings.Join(parts, "/")
}
