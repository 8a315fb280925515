// Package ui serves the pages: HTML rendered on the server, with htmx for
// recalculation as one types. It calls the use cases of package api and
// nothing below them. Every page works without JavaScript.
package ui
