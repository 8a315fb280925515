package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"io"
	"runtime/debug"

	"thole/api/rest"
	"thole/ui"
	libraries "thole/ui/notices"
)

// version prints which build this is, on one line.
func version(_ context.Context, args []string, to streams) error {
	if err := parse(flag.NewFlagSet("version", flag.ContinueOnError), args, to); err != nil {
		return err
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return fmt.Errorf("this build does not know where it comes from")
	}
	_, err := io.WriteString(to.out, describeBuild(info)+"\n")
	return err
}

// stamp is the version that a build without version control is given, with
// -ldflags "-X main.stamp=v1.2.3".
var stamp string

// describeBuild names the version, the revision when the build knows one, the
// HTTP interface and the toolchain.
func describeBuild(info *debug.BuildInfo) string {
	text := "thole " + cmp.Or(stamp, info.Main.Version)
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	if revision := set["vcs.revision"]; revision != "" {
		text += " revision " + revision
		if set["vcs.modified"] == "true" {
			text += " with changes"
		}
	}
	return text + ", interface " + rest.Version + ", " + info.GoVersion
}

// notices prints whose libraries are in the program, and under which licences.
func notices(_ context.Context, args []string, to streams) error {
	if err := parse(flag.NewFlagSet("notices", flag.ContinueOnError), args, to); err != nil {
		return err
	}
	return libraries.Write(to.out, ui.Libraries())
}
