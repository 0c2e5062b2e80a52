package export

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"strconv"

	"solander/fault"
)

// mostManifest bounds a manifest, so that a forged one cannot fill the memory.
const mostManifest = 1 << 20

// Join writes the copy that an export was made from. The CSV files are read; the JSON files are for other
// programs. Faults: Missing when a file is not there; Invalid when a file was changed since, or is no
// export.
func Join(files fs.FS, w io.Writer) error {
	m, err := manifest(files)
	if err != nil {
		return err
	}
	zip := gzip.NewWriter(w)
	j := joiner{out: bufio.NewWriterSize(zip, 1<<16), sum: sha256.New(), rows: map[string]int64{}}
	if err := j.line(m.Copy); err != nil {
		return err
	}
	for _, t := range m.Tables {
		if err := j.table(files, t); err != nil {
			return err
		}
	}
	end, err := json.Marshal(struct {
		Rows   map[string]int64 `json:"rows"`
		SHA256 string           `json:"sha256"`
	}{j.rows, hex.EncodeToString(j.sum.Sum(nil))})
	if err != nil {
		return err
	}
	return errors.Join(j.line(end), j.out.Flush(), zip.Close())
}

func manifest(files fs.FS) (Manifest, error) {
	var m Manifest
	f, err := files.Open(ManifestName)
	if err != nil {
		return m, fault.New(fault.Missing, "there is no %s in it", ManifestName).ToMend("choose a folder or ZIP that export wrote").Because(err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, mostManifest))
	if err != nil {
		return m, err
	}
	var compact bytes.Buffer
	if err := json.Unmarshal(b, &m); err != nil || m.Format != Format || json.Compact(&compact, m.Copy) != nil {
		return m, fault.New(fault.Invalid, "%s is not that of an export", ManifestName).ToMend("choose a folder or ZIP that export wrote").Because(err)
	}
	m.Copy = compact.Bytes()
	return m, nil
}

type joiner struct {
	out  *bufio.Writer
	sum  hash.Hash
	rows map[string]int64
	buf  []byte
}

func (j *joiner) line(b []byte) error {
	j.buf = append(append(j.buf[:0], b...), '\n')
	j.sum.Write(j.buf)
	_, err := j.out.Write(j.buf)
	return err
}

func (j *joiner) table(files fs.FS, t Table) error {
	names := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		names[i] = c.Name
	}
	head, err := json.Marshal(struct {
		Table   string   `json:"table"`
		Columns []string `json:"columns"`
	}{t.Name, names})
	if err != nil {
		return err
	}
	if err := j.line(head); err != nil {
		return err
	}
	name := CSVName(t.Name)
	if !fs.ValidPath(name) {
		return fault.New(fault.Invalid, "%.60q is no table", t.Name)
	}
	f, err := files.Open(name)
	if err != nil {
		return fault.New(fault.Missing, "%s is missing", name).ToMend("use the whole export").Because(err)
	}
	defer f.Close()
	sum := sha256.New()
	tee := io.TeeReader(f, sum)
	if err := j.body(NewReader(tee, ','), t, name); err != nil {
		return err
	}
	if _, err := io.Copy(io.Discard, tee); err != nil {
		return err
	}
	if j.rows[t.Name] != t.Rows || hex.EncodeToString(sum.Sum(nil)) != t.SHA256 {
		return changed(name)
	}
	return nil
}

func changed(name string) error {
	return fault.New(fault.Invalid, "%s was changed since it was written", name).ToMend("use the export as it was written; changes are made in the studio")
}

// body reads the rows of a CSV file below its head.
func (j *joiner) body(r *Reader, t Table, name string) error {
	if head, err := r.Read(); err != nil || len(head) != len(t.Columns) {
		return changed(name)
	}
	j.rows[t.Name] = 0
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if len(cells) != len(t.Columns) {
			return changed(name)
		}
		values := make([]any, len(cells))
		for i, c := range cells {
			switch {
			case t.Columns[i].Kind == Text:
				values[i] = Unguard(c)
			case c != "":
				if values[i], err = strconv.ParseInt(c, 10, 64); err != nil {
					return changed(name)
				}
			}
		}
		line, err := json.Marshal(values)
		if err != nil {
			return err
		}
		j.rows[t.Name]++
		if err := j.line(line); err != nil {
			return err
		}
	}
}
