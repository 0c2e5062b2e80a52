// Command solander keeps the editions, orders, stock, packing and papers of one artist who sells prints
// from home. It only minds signals and streams; package cli is the command line.
package main

import (
	"context"
	"log/slog"
	"os"
	"os/signal"
	"syscall"
	"time"

	"solander/cli"
	"solander/internal/watch"
	"solander/internal/wiring"
)

func main() { os.Exit(run()) }

func init() {
	if log, err := watch.Log(os.Stderr, "text", "info"); err == nil { // serve may be told of another
		slog.SetDefault(log)
	}
}

// run leaves a first SIGINT or SIGTERM to the command, which ends cleanly; a second one ends it at once.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	return cli.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, wiring.Env(os.Getenv, time.Now))
}
