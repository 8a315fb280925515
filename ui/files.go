package ui

import "embed"

//go:embed assets node_modules/htmx.org/dist/htmx.min.js
var assetFiles embed.FS
