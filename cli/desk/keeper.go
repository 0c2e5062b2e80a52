package desk

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"solander/copies"
	"solander/mailing/server"
	"solander/studio"
)

// Keeper keeps the copies of the studio that --store names. What is secret of them stands in a file beside it.
func (d *Desk) Keeper() (*copies.Keeper, error) {
	beside, err := d.NoteBeside()
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(beside), 0o700); err != nil {
		return nil, FileFault(err, filepath.Dir(beside), "store")
	}
	return &copies.Keeper{Keys: copies.Keys{File: beside + "-keys", Get: d.Env.Get}, Scratch: d.scratch(filepath.Dir(beside))}, nil
}

// Mail is where the mail server of the studio that --store names is kept: in a file beside it, by the key of its secrets where it has one.
func (d *Desk) Mail() (server.File, error) {
	beside, err := d.NoteBeside()
	if err != nil {
		return server.File{}, err
	}
	place, err := d.placeOf()
	return server.File{Path: beside + "-mail", Key: d.Env.KeyFile(place)}, err
}

// scratch opens empty studios in folders of their own, below a folder on whose disk the studio lies.
func (d *Desk) scratch(below string) func(context.Context, func(studio.Store, string) error) error {
	return func(ctx context.Context, use func(studio.Store, string) error) (err error) {
		folder, err := os.MkdirTemp(below, ".solander-drill-")
		if err != nil {
			return FileFault(err, below, "store")
		}
		defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
		of, err := d.placeOf()
		if err != nil {
			return err
		}
		s, err := d.Env.Scratch(ctx, filepath.Join(folder, databaseName), of, d.Env.Clock)
		if err != nil {
			return err
		}
		return errors.Join(use(s, folder), s.Close())
	}
}
