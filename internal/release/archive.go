package main

import (
	"archive/tar"
	"archive/zip"
	"compress/flate"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"
	"time"
)

// file is one of an archive.
type file struct {
	name string // with slashes, from the root of the archive
	data []byte
	runs bool // it is a program
}

func (f file) mode() fs.FileMode {
	if f.runs {
		return 0o755
	}
	return 0o644
}

// tail is the ending of an archive's name: what each system unpacks by itself.
func (t target) tail() string {
	if t.system == "linux" {
		return ".tar.gz"
	}
	return ".zip"
}

// write writes the files in the order given, each with the same time, and nothing of this machine's user.
func (t target) write(path string, files []file, when time.Time) (err error) {
	out, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	if t.system == "linux" {
		return writeTar(out, files, when)
	}
	return writeZip(out, files, when)
}

func writeTar(out io.Writer, files []file, when time.Time) error {
	packed, err := gzip.NewWriterLevel(out, gzip.BestCompression)
	if err != nil {
		return err
	}
	w := tar.NewWriter(packed)
	for _, f := range files {
		h := &tar.Header{Typeflag: tar.TypeReg, Name: f.name, Size: int64(len(f.data)), Mode: int64(f.mode()), ModTime: when, Format: tar.FormatUSTAR}
		if err := w.WriteHeader(h); err != nil {
			return err
		}
		if _, err := w.Write(f.data); err != nil {
			return err
		}
	}
	return errors.Join(w.Close(), packed.Close())
}

func writeZip(out io.Writer, files []file, when time.Time) error {
	w := zip.NewWriter(out)
	w.RegisterCompressor(zip.Deflate, func(out io.Writer) (io.WriteCloser, error) { return flate.NewWriter(out, flate.BestCompression) })
	for _, f := range files {
		h := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: when}
		h.SetMode(f.mode())
		part, err := w.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := part.Write(f.data); err != nil {
			return err
		}
	}
	return w.Close()
}
