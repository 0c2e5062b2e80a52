package main

import (
	"bytes"
	"debug/buildinfo"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"
)

// modules are those that a built program says are in it.
func modules(program string) ([]*debug.Module, error) {
	info, err := buildinfo.ReadFile(program)
	if err != nil {
		return nil, err
	}
	return info.Deps, nil
}

// ofModules is the file with the licences of Go and of all modules.
const ofModules = "licences/modules.txt"

// licences are the texts of all that is in the program: of each module and of Go in one file, a text that several have once, and those of the
// project's own parts. A module without one is an error: it may not be given away.
func licences(parts []*debug.Module) ([]file, error) {
	folders, err := moduleFolders()
	if err != nil {
		return nil, err
	}
	root, err := output(exec.Command("go", "env", "GOROOT"))
	if err != nil {
		return nil, err
	}
	type part struct{ folder, name string }
	from := []part{{".", ""}, {strings.TrimSpace(string(root)), "Go"}}
	for _, m := range parts {
		from = append(from, part{folders[m.Path], m.Path})
	}
	var files []file
	with := map[string][]string{} // by text, whose it is
	for _, s := range from {
		texts, err := licencesOf(s.folder)
		if err != nil {
			return nil, err
		}
		if len(texts) == 0 {
			return nil, fmt.Errorf("%s has no licence in its folder %q", s.name, s.folder)
		}
		for name, text := range texts {
			if s.name == "" {
				files = append(files, file{"licences/" + name, text, false})
				continue
			}
			with[string(text)] = append(with[string(text)], s.name+", "+name)
		}
	}
	files = append(files, file{ofModules, together(with), false})
	for _, path := range []string{"NOTICE.md", "letters/faces/licences.txt", "web/static/serif-licence.txt"} {
		text, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		files = append(files, file{"licences/" + filepath.Base(path), text, false})
	}
	return files, nil
}

// together are texts in one, each beneath the names of those that have it; similar ones stand beside each other, which packs well.
func together(with map[string][]string) []byte {
	var b bytes.Buffer
	for _, text := range slices.Sorted(maps.Keys(with)) {
		slices.Sort(with[text])
		fmt.Fprintf(&b, "%s\n\n%s\n\n%s\n\n\n", strings.Repeat("=", 78), strings.Join(with[text], "\n"), strings.TrimSpace(text))
	}
	return b.Bytes()
}

// licencesOf reads the files of a folder that are licences by their names.
func licencesOf(folder string) (map[string][]byte, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	texts := map[string][]byte{}
	for _, e := range entries {
		name := strings.ToUpper(e.Name())
		for _, begin := range []string{"LICENSE", "LICENCE", "COPYING", "UNLICENSE", "NOTICE", "PATENTS"} {
			if e.Type().IsRegular() && strings.HasPrefix(name, begin) && !strings.HasSuffix(name, ".GO") && name != "NOTICE.MD" {
				if texts[e.Name()], err = os.ReadFile(filepath.Join(folder, e.Name())); err != nil {
					return nil, err
				}
			}
		}
	}
	return texts, nil
}

// moduleFolders says where the source of each module lies.
func moduleFolders() (map[string]string, error) {
	out, err := output(exec.Command("go", "list", "-m", "-f", "{{.Path}}\t{{.Dir}}", "all"))
	if err != nil {
		return nil, err
	}
	folders := map[string]string{}
	for line := range strings.Lines(string(out)) {
		path, folder, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "\t")
		folders[path] = folder
	}
	return folders, nil
}

// billOfMaterials lists what the program is made of, in CycloneDX 1.6, by the cyclonedx-gomod tool. What differs from one run to the
// next is left out: its number, and its time, which is the commit's.
func billOfMaterials(program string, from source) ([]byte, error) {
	out, err := output(exec.Command("go", "tool", "-modfile=tools/go.mod", "cyclonedx-gomod", "bin", "-json", "-noserial", "-notimestamp",
		"-output-version", "1.6", "-version", "v0.0.0", program))
	if err != nil {
		return nil, err
	}
	var bill map[string]any
	if err := json.Unmarshal(out, &bill); err != nil {
		return nil, err
	}
	about, ok := bill["metadata"].(map[string]any)
	if !ok {
		return nil, fmt.Errorf("the bill of materials has no metadata")
	}
	about["timestamp"] = from.when.Format(time.RFC3339)
	if main, ok := about["component"].(map[string]any); ok {
		main["version"] = from.version
	}
	return json.MarshalIndent(bill, "", "  ")
}
