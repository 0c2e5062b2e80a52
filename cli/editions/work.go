package editions

import (
	"cmp"
	"errors"
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/gallery"
	"solander/picture"
	"solander/picture/header"
	"solander/register"
)

// Work is what is done to one work.
type Work struct {
	Picture workPicture `cmd:"" help:"The picture of a work: put, show, say what is to be seen, take away."`
}

type workPicture struct {
	Show     pictureShowCmd `cmd:"" help:"What is known of it, or write it to a file as a JPEG."`
	Put      picturePutCmd  `cmd:"" help:"Hang a picture, in place of the one it had: JPEG, PNG, WebP or TIFF."`
	Alt      pictureAltCmd  `cmd:"" help:"Say what is to be seen in it, for who cannot see it."`
	TakeAway pictureAwayCmd `cmd:"" name:"take-away" help:"Take it away; the work stays."`
}

// workNamed is the argument that names a work.
type workNamed struct {
	Work string `arg:"" help:"The work: its number, or words of its title that fit no other."`
}

type picturePutCmd struct {
	workNamed
	File string `arg:"" help:"The file of the picture; - is the input stream."`
	Alt  string `placeholder:"TEXT" help:"What is to be seen in it, in a sentence."`
}

func (picturePutCmd) Help() string {
	return "It is kept in three sizes in sRGB; where, when and by what it was taken is left out. Your file is not changed.\n\n" +
		"Example:\n\n  solander work picture put heron heron.tif --alt \"A heron stands in still water\""
}

func (c *picturePutCmd) Run(d *desk.Open) error {
	w, err := d.WorkNamed(c.Work)
	if err != nil {
		return err
	}
	r, err := d.Input(c.File, "file")
	if err != nil {
		return err
	}
	body, err := io.ReadAll(io.LimitReader(r, header.MaxFile+1))
	if err = errors.Join(err, r.Close()); err != nil {
		return desk.FileFault(err, c.File, "file")
	}
	p, err := gallery.Put(d.Ctx, d.Studio, w.ID, body, c.Alt)
	if err != nil {
		return fault.Placed(err, c.File)
	}
	return d.Say(p, "the picture of %s hangs, %d × %d at most", p.Title, p.Large.Width, p.Large.Height)
}

type pictureShowCmd struct {
	workNamed
	desk.FileOut
	Size string `default:"large" enum:"small,middle,large" help:"Which size is written: small (160 pixels on its long side), middle (640) or large (1600)."`
}

func (pictureShowCmd) Help() string {
	return "Example:\n\n  solander work picture show heron\n  solander work picture show heron -o heron.jpg"
}

func (c *pictureShowCmd) Run(d *desk.Open) error {
	w, err := d.WorkNamed(c.Work)
	if err != nil {
		return err
	}
	if c.Output == "" {
		return showPicture(d, w)
	}
	_, body, err := gallery.Body(d.Ctx, d.Studio, w.ID, picture.Size(c.Size))
	if fault.Is(err, fault.Missing) {
		return noPicture(w)
	}
	if err != nil {
		return err
	}
	return d.Write(c.FileOut, func(to io.Writer) error { _, err := to.Write(body); return err })
}

func noPicture(w register.WorkView) error {
	return fault.New(fault.Missing, "it has no picture").At("%s", w.Title).In("work").ToMend("put one: solander work picture put %d FILE", w.ID)
}

func showPicture(d *desk.Open, w register.WorkView) error {
	p, hung, err := gallery.Of(d.Ctx, d.Studio, w.ID)
	if err != nil {
		return err
	}
	if !hung {
		return noPicture(w)
	}
	return d.Show(p, func(to io.Writer) {
		fmt.Fprintf(to, "%s: %s\n", p.Title, cmp.Or(p.Alt, "nobody has said yet what is to be seen"))
		fmt.Fprintf(to, "small %d × %d, middle %d × %d, large %d × %d; put by %s on %s\n", p.Small.Width, p.Small.Height,
			p.Middle.Width, p.Middle.Height, p.Large.Width, p.Large.Height, p.Who, p.At.Format("2006-01-02"))
	})
}

type pictureAltCmd struct {
	workNamed
	Text string `arg:"" help:"What is to be seen, in a sentence; \"\" takes it back."`
}

func (pictureAltCmd) Help() string {
	return "Example:\n\n  solander work picture alt heron \"A heron stands in still water\""
}

func (c *pictureAltCmd) Run(d *desk.Open) error {
	w, err := d.WorkNamed(c.Work)
	if err != nil {
		return err
	}
	err = gallery.Say(d.Ctx, d.Studio, w.ID, c.Text)
	if fault.Is(err, fault.Missing) {
		return noPicture(w)
	}
	if err != nil {
		return err
	}
	return showPicture(d, w)
}

type pictureAwayCmd struct{ workNamed }

func (pictureAwayCmd) Help() string {
	return "The program keeps no other copy of it but those in backups.\n\nExample:\n\n  solander work picture take-away heron"
}

func (c *pictureAwayCmd) Run(d *desk.Open) error {
	w, err := d.WorkNamed(c.Work)
	if err != nil {
		return err
	}
	err = gallery.TakeAway(d.Ctx, d.Studio, w.ID)
	if fault.Is(err, fault.Missing) {
		return noPicture(w)
	}
	if err != nil {
		return err
	}
	return d.Say(map[string]int64{"work": w.ID}, "the picture of %s is taken away", w.Title)
}
