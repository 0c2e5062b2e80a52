package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// contained builds the container by the file in the archive, and runs the program in it, as the user that the file names.
func contained(t *testing.T, dir string) {
	buildah, err := exec.LookPath("buildah")
	if err != nil {
		t.Skip("there is no buildah here: the container was not built")
	}
	work := t.TempDir()
	run := func(args ...string) string {
		t.Helper()
		cmd := exec.Command(buildah, append([]string{"--root", filepath.Join(work, "root"), "--runroot", filepath.Join(work, "run"), "--storage-driver", "vfs"}, args...)...)
		cmd.Dir = dir
		var said, errs strings.Builder
		cmd.Stdout, cmd.Stderr = &said, &errs
		if err := cmd.Run(); err != nil {
			t.Fatalf("%v: %v\n%s%s", args, err, said.String(), errs.String())
		}
		return strings.TrimSpace(said.String())
	}
	run("bud", "--isolation", "chroot", "--format", "docker", "--tag", "studio", ".")
	box := run("from", "localhost/studio")
	defer run("rm", box)
	if about := run("inspect", "--format", "{{.Docker.Config.User}} {{.Docker.Config.Volumes}} {{.Docker.Config.Entrypoint}} {{.Docker.Config.Cmd}}", box); about != "65532:65532 map[/studio:{}] [/solander] [serve --health 127.0.0.1:8430]" {
		t.Errorf("it is run as %s", about)
	}
	if err := os.WriteFile(filepath.Join(run("mount", box), "first.json"), read(t, "cli", "testdata", "studio.json"), 0o644); err != nil {
		t.Fatal(err)
	}
	in := func(args ...string) string {
		t.Helper()
		return run(append([]string{"run", "--isolation", "chroot", box, "--", "/solander"}, args...)...)
	}
	in("set-up", "--file", "/first.json")
	if said := in("check"); !strings.Contains(said, "sound") {
		t.Errorf("the studio in the volume: %s", said)
	}
}
