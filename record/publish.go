package record

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/tlog"

	"solander/edition"
	"solander/fault"
	"solander/sealog"
	"solander/studio"
)

// File is one file of the public record; its path is parted by slashes.
type File struct {
	Path string
	Body []byte
}

// Published is the record as data: no buyer is in it.
type Published struct {
	Studio   string    `json:"studio"`
	Day      string    `json:"day"`
	Editions []Edition `json:"editions"`
	Logs     []LogOf   `json:"logs"`
}

// Edition is how an edition stands, in numbers alone.
type Edition struct {
	ID        int64          `json:"id"`
	Title     string         `json:"title"`
	Year      int            `json:"year"`
	Width     int64          `json:"width_nm"`
	Height    int64          `json:"height_nm"`
	Paper     string         `json:"paper"`
	Grade     string         `json:"grade"`
	Technique string         `json:"technique"`
	Declared  string         `json:"declared"`
	Limit     int            `json:"limit"` // 0 = open
	Proofs    edition.Proofs `json:"proofs"`
	Closed    bool           `json:"closed"`
	Out       int            `json:"out"`       // sent or handed over, proofs included
	Kept      int            `json:"kept"`      // in the studio's own archive
	Destroyed int            `json:"destroyed"` // spoilt and not struck again
	Withdrawn int            `json:"withdrawn"` // out of the edition for good
	Here      int            `json:"here"`      // all others
	Size      string         `json:"size"`      // in words
	Leaf      int64          `json:"leaf"`      // index of its declaration in its log
	Log       int64          `json:"log"`
}

// LogOf is a log as it is published: where it lies, its keys and what was signed of it.
type LogOf struct {
	ID          int64      `json:"id"`
	Origin      string     `json:"origin"`
	Folder      string     `json:"folder"`
	Size        int64      `json:"size"`
	Keys        []string   `json:"keys"`
	Checkpoints []Point    `json:"checkpoints"`
	Consistency []HeldByIt `json:"consistency"`
}

// Point is a signed checkpoint.
type Point struct {
	Size   int64  `json:"size"`
	At     string `json:"at"`
	Signed string `json:"signed"`
}

// HeldByIt proves that a checkpoint holds all of the one before it.
type HeldByIt struct {
	From   int64    `json:"from"`
	To     int64    `json:"to"`
	Hashes []string `json:"hashes"`
}

// tileHeight is that of C2SP tlog-tiles: 256 hashes a tile.
const tileHeight = 8

// CheckPage is where the page that checks certificates lies beside the pages of the record; who has one gives it to Publish.
const CheckPage = "check.html"

// Publish signs how far the register has come, and makes the files of its public record; its page leads to those that are given beside.
// passphrase as for Signer. Faults: as Sign.
func Publish(ctx context.Context, s *studio.Studio, passphrase string, beside ...File) ([]File, error) {
	if _, err := Sign(ctx, s, passphrase); err != nil {
		return nil, err
	}
	var files []File
	err := read(ctx, s, func(t *Record) (err error) {
		files, err = t.publish(beside)
		return err
	})
	return files, err
}

func (t *Record) publish(beside []File) ([]File, error) {
	out := Published{Studio: t.Set.Studio, Day: t.Today.String()}
	files := slices.Clone(beside)
	logs, err := t.Logs()
	if err != nil {
		return nil, err
	}
	for _, l := range logs {
		of, some, err := t.publishLog(l)
		if err != nil {
			return nil, err
		}
		out.Logs, files = append(out.Logs, of), append(files, some...)
	}
	if out.Editions, err = t.editions(); err != nil {
		return nil, err
	}
	body, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return nil, err
	}
	page, err := pageOf(out, beside)
	return append(files, File{"record.json", append(body, '\n')}, File{"index.html", page}), err
}

// publishLog makes the files of a log: tiles of hashes, bundles of leaves, and its newest checkpoint.
func (t *Record) publishLog(l sealog.Log) (LogOf, []File, error) {
	of := LogOf{ID: l.ID, Origin: l.Origin, Folder: fmt.Sprintf("log-%d", l.ID)}
	keys, err := t.LeavesOf(sealog.KeyEvent, 0)
	if err != nil {
		return of, nil, err
	}
	for _, k := range keys {
		if k.Log == l.ID {
			of.Keys = append(of.Keys, k.Get("key"))
		}
	}
	signed, err := t.Checkpoints(l.ID)
	if err != nil || len(signed) == 0 {
		return of, nil, err // a log whose key was lost before anything was signed
	}
	for i, c := range signed {
		of.Checkpoints = append(of.Checkpoints, Point{c.Size, c.At.Format("2006-01-02T15:04:05Z"), c.Body})
		if i == 0 {
			continue
		}
		p, err := t.Consistency(l.ID, signed[i-1].Size, c.Size)
		if err != nil {
			return of, nil, err
		}
		if err := t.follows(p, signed[i-1], c, of.Keys); err != nil {
			return of, nil, err
		}
		held := HeldByIt{From: signed[i-1].Size, To: c.Size, Hashes: []string{}}
		for _, h := range p {
			held.Hashes = append(held.Hashes, h.String())
		}
		of.Consistency = append(of.Consistency, held)
	}
	newest := signed[len(signed)-1]
	of.Size = newest.Size
	files := []File{{of.Folder + "/checkpoint", []byte(newest.Body)}}
	for _, tile := range tlog.NewTiles(tileHeight, 0, of.Size) {
		body, err := tlog.ReadTileData(tile, t.StoredHashes(l.ID))
		if err != nil {
			return of, nil, err
		}
		files = append(files, File{of.Folder + "/" + tilePath(tile), body})
	}
	bundles, err := t.bundles(l.ID, of)
	return of, append(files, bundles...), err
}

// follows looks at a proof before it is given out. The two checkpoints may be of two keys of the log.
func (t *Record) follows(p tlog.TreeProof, earlier, later sealog.Signed, keys []string) error {
	var points [2]sealog.Checkpoint
	for i, c := range []sealog.Signed{earlier, later} {
		var err error
		for _, k := range keys {
			if points[i], _, err = opened([]byte(c.Body), k); err == nil {
				break
			}
		}
		if err != nil {
			return err
		}
	}
	return sealog.Follows(p, points[0], points[1])
}

// tilePath is the path of a tile: C2SP tlog-tiles has no height in it.
func tilePath(t tlog.Tile) string {
	return strings.Replace(t.Path(), "tile/"+strconv.Itoa(tileHeight)+"/", "tile/", 1)
}

// bundles are the leaves, 256 a file, each behind its length in two bytes.
func (t *Record) bundles(log int64, of LogOf) ([]File, error) {
	const most = 1 << tileHeight
	var files []File
	for from := int64(0); from < of.Size; from += most {
		leaves, err := t.Leaves(log, from, int(min(most, of.Size-from)))
		if err != nil {
			return nil, err
		}
		var body []byte
		for _, l := range leaves {
			if len(l.Body) > 1<<16-1 {
				return nil, fault.New(fault.Refused, "leaf %d is too long to be published", l.Index)
			}
			body = binary.BigEndian.AppendUint16(body, uint16(len(l.Body)))
			body = append(body, l.Body...)
		}
		tile := tlog.Tile{H: tileHeight, L: 0, N: from / most, W: len(leaves)}
		files = append(files, File{of.Folder + "/" + strings.Replace(tilePath(tile), "tile/0/", "tile/entries/", 1), body})
	}
	return files, nil
}

func (t *Record) editions() ([]Edition, error) {
	works, err := t.Works()
	if err != nil {
		return nil, err
	}
	years := map[int64]int{}
	for _, w := range works {
		years[w.ID] = w.Year
	}
	all, err := t.Editions()
	if err != nil {
		return nil, err
	}
	counts, err := t.Counts()
	if err != nil {
		return nil, err
	}
	out := []Edition{}
	for _, e := range all {
		n := counts[e.ID]
		x := Edition{
			ID: e.ID, Title: e.Title, Year: years[e.Work], Width: int64(e.Width), Height: int64(e.Height), Paper: e.Paper, Grade: e.Grade, Technique: e.Technique,
			Declared: e.Declared.String(), Limit: e.Limit, Proofs: e.Proofs, Closed: e.Closed, Size: e.Size(t.Set.Units),
			Out: n[edition.Sent], Kept: n[edition.Kept], Destroyed: n[edition.Spoilt], Withdrawn: n[edition.Withdrawn],
		}
		x.Here = e.Total() - x.Out - x.Kept - x.Destroyed - x.Withdrawn
		leaves, err := t.LeavesOf(sealog.Declared, e.ID)
		if err != nil {
			return nil, err
		}
		if len(leaves) > 0 {
			x.Leaf, x.Log = leaves[0].Index, leaves[0].Log
		}
		out = append(out, x)
	}
	return out, nil
}
