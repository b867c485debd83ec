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
	ctx, stop := signal.NotifyContext(context.Background(), interrupts()...)
	defer stop()
	context.AfterFunc(ctx, func() {
		signal.Ignore(syscall.SIGHUP) // a terminal that is closed may tell twice: the work is being kept
		stop()
	})
	a := &app{stdout: os.Stdout, stderr: os.Stderr}
	return a.execute(ctx, os.Args[1:])
}

// interrupts are the signals that end the work in good order. A terminal that is closed is
// one of them, but for a program that was started so as to outlive it, with nohup.
func interrupts() []os.Signal {
	list := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		list = append(list, syscall.SIGHUP)
	}
	return list
}
