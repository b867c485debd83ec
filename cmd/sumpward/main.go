// Sumpward simulates how an oil separator in a crankcase breather fills and
// drains during track sessions, and gives the chance that it overflows or that
// its drain backs up.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() { os.Exit(run()) }

// run returns the exit code. A first interrupt ends the work in good order, a
// second one ends the program.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	a := &app{stdout: os.Stdout, stderr: os.Stderr}
	return a.execute(ctx, os.Args[1:])
}
