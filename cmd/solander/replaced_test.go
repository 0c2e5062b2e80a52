package main

import (
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestReplacedUnderServe puts a restored copy in the place of the file of a serving program: from then on no
// order is acknowledged and the pages say so; the file put back, all that was acknowledged is there.
func TestReplacedUnderServe(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	dir := t.TempDir()
	store, copied, restored := filepath.Join(dir, "studio.db"), filepath.Join(dir, "first.copy"), filepath.Join(dir, "restored.db")
	setUp, err := os.ReadFile("../../cli/testdata/studio.json")
	if err != nil {
		t.Fatal(err)
	}
	command(t, store, string(setUp), nil, "set-up", "--file", "-")
	var feed struct{ Token string }
	command(t, store, "", &feed, "feed", "add", "Web", "--outlet", "fair", "--scope", "orders:write")
	command(t, store, "", nil, "backup", copied)
	command(t, restored, "", nil, "restore", copied)
	serving, address := started(t, "serve", "--store", store)
	client := &http.Client{Timeout: 30 * time.Second}
	defer client.CloseIdleConnections()
	for i := range 3 {
		if code, text := sendOrder(client, address, feed.Token, 1, i); code != http.StatusCreated {
			t.Fatalf("order %d is answered %d %s", i, code, text)
		}
	}
	kept := store + ".kept"
	if err := os.Link(store, kept); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(restored, store); err != nil {
		t.Fatal(err)
	}
	if code, text := sendOrder(client, address, feed.Token, 1, 3); code < 400 || !strings.Contains(text, "another file was put in the place") {
		t.Errorf("an order is answered %d %s", code, text)
	}
	res, err := client.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if page, err := io.ReadAll(res.Body); err != nil || res.StatusCode < 400 || !strings.Contains(string(page), "another file was put in the place") {
		t.Errorf("the bench answers %d (%v), and does not say what is wrong", res.StatusCode, err)
	}
	ends(t, serving, syscall.SIGTERM)
	if err := os.Rename(kept, store); err != nil {
		t.Fatal(err)
	}
	var book struct{ Rows []struct{ Ref string } }
	command(t, store, "", &book, "orders")
	if len(book.Rows) != 3 {
		t.Errorf("%d orders stand in the book, want 3", len(book.Rows))
	}
	command(t, store, "", nil, "check")
}
