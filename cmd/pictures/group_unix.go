//go:build unix

package main

import (
	"os/exec"
	"syscall"
)

// group has the command end together with what it starts: go run starts the
// program that it has built.
func group(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGTERM) }
}
