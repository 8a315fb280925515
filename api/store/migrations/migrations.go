// Package migrations holds the steps that bring a file of records up to date, one
// SQL file a step.
package migrations

import "embed"

// Files are the steps, named by number: 00001_athletes.sql is the first.
//
//go:embed *.sql
var Files embed.FS
