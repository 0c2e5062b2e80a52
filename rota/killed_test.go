package rota_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/internal/pgtest"
	"solander/rota"
	"solander/store"
	"solander/studio"
)

// What a program that is started to be killed finds in its environment.
const (
	placeVar = "SOLANDER_ROTA_PLACE"
	doneVar  = "SOLANDER_ROTA_DONE"
)

func TestMain(m *testing.M) {
	if place := os.Getenv(placeVar); place != "" {
		if err := runner(context.Background(), place, "the one that is killed", os.Getenv(doneVar), time.Hour); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// lasts is for how long a lease holds here.
const lasts = 8 * time.Second

// runner is one program's part in the work at a place, until ctx ends. Its job writes down who did it, and takes a while.
func runner(ctx context.Context, place, name, done string, takes time.Duration) error {
	st, err := store.Open(ctx, place, store.Options{Patience: time.Minute})
	if err != nil {
		return err
	}
	defer st.Close()
	job := rota.Job{
		Name: "copy", Due: func(context.Context, *studio.Studio) (rota.Rule, error) { return nil, nil },
		Do: func(ctx context.Context, _ *studio.Studio) (string, error) {
			f, err := os.OpenFile(done, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
			if err != nil {
				return "", err
			}
			defer f.Close()
			if _, err := fmt.Fprintln(f, name); err != nil {
				return "", err
			}
			fmt.Println("doing")
			select {
			case <-time.After(takes):
			case <-ctx.Done():
			}
			return "done", ctx.Err()
		},
	}
	r := rota.Runner{Studio: studio.New(st, studio.Options{}), Jobs: []rota.Job{job}, Holder: name, Lasts: lasts}
	tick := time.NewTicker(100 * time.Millisecond)
	defer tick.Stop()
	r.Run(ctx, tick.C)
	return nil
}

// Two programs are on the rota of one studio. The one that has begun a job goes on alone; when it is killed the other one takes the job over, once.
func TestTheOtherProgramTakesOver(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for engine, at := range map[string]func(*testing.T) string{
		"sqlite":          func(t *testing.T) string { return filepath.Join(t.TempDir(), "studio.db") },
		"postgres":        func(t *testing.T) string { return pgtest.New(t) },
		"behind a pooler": func(t *testing.T) string { return pgtest.Pooled(t, pgtest.New(t)) },
	} {
		t.Run(engine, func(t *testing.T) {
			place, done := at(t), filepath.Join(t.TempDir(), "done")
			st, err := store.Open(t.Context(), place, store.Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer st.Close()
			s := studio.New(st, studio.Options{})
			if err := rota.Ask(t.Context(), s, "copy"); err != nil {
				t.Fatal(err)
			}
			one := exec.Command(os.Args[0], "-test.run=^$")
			one.Env = append(os.Environ(), placeVar+"="+place, doneVar+"="+done)
			out, err := one.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := one.Start(); err != nil {
				t.Fatal(err)
			}
			defer one.Process.Kill()
			lines := bufio.NewScanner(out)
			if lines.Scan(); lines.Text() != "doing" {
				t.Fatalf("the first program says %q", lines.Text())
			}
			ctx, stop := context.WithCancel(t.Context())
			defer stop()
			ended := make(chan error)
			go func() { ended <- runner(ctx, place, "the other", done, 0) }()
			did := func() string {
				b, err := os.ReadFile(done)
				if err != nil {
					t.Fatal(err)
				}
				return strings.Join(strings.Split(strings.TrimSpace(string(b)), "\n"), ", ")
			}
			time.Sleep(lasts + time.Second) // longer than a lease that is not held on to
			if got := did(); got != "the one that is killed" {
				t.Fatalf("while the first one is at it, it was begun by: %s", got)
			}
			if err := one.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			_ = one.Wait() // it was killed: how it ended is no news
			killed := time.Now()
			for {
				j, err := rota.Standing(t.Context(), s, "copy")
				if err != nil {
					t.Fatal(err)
				}
				if j.Asked.IsZero() {
					break
				}
				if time.Since(killed) > 2*time.Minute {
					t.Fatalf("two minutes after it was killed the job is due still: %+v", j)
				}
				time.Sleep(50 * time.Millisecond)
			}
			t.Logf("taken over after %v, of a lease of %v", time.Since(killed).Round(time.Millisecond), lasts)
			time.Sleep(time.Second)
			stop()
			if err := <-ended; err != nil {
				t.Error(err)
			}
			if got := did(); got != "the one that is killed, the other" {
				t.Errorf("it was begun by: %s", got)
			}
		})
	}
}
