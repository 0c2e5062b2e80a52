// Command solander keeps the editions, orders, stock, packing and papers of one artist who sells prints
// from home. It only minds signals, streams and memory; package cli is the command line.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	"solander/cli"
	"solander/internal/wiring"
)

func main() { os.Exit(run()) }

// mostMemoryHeld is from where on memory is gathered up rather than let grow, in bytes. The program rests far below; only a
// file of tens of thousands of rows comes near it.
const mostMemoryHeld = 210 << 20

// run leaves a first SIGINT or SIGTERM to the command, which ends cleanly; a second one ends it at once.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(mostMemoryHeld)
	}
	context.AfterFunc(ctx, stop)
	return cli.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, wiring.Env(os.Getenv, time.Now))
}
