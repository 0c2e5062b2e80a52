package page

import (
	"fmt"
	"hash/fnv"
	"html/template"
	"strings"

	"solander/gallery"
	"solander/picture"
)

// PictureAt is the address of a work's picture at one size. It names the picture itself: another picture has another address.
func PictureAt(p picture.Picture, size picture.Size) string {
	return fmt.Sprintf("/works/%d/picture/%s?v=%.12s", p.Work, size, p.Digest)
}

// Picture draws the picture of a work at a size: "small", "middle" or "large"; whole, never cropped. most bounds its long side
// on the page in pixels of CSS, so that one size serves several places; without it, it is as large as it is kept. A work that has no
// picture gets a quiet mark of its own in a square of the same long side.
func Picture(pictures gallery.Pictures, work int64, size picture.Size, most ...int) (template.HTML, error) {
	if size.Longest() == 0 {
		return "", fmt.Errorf("web: a picture has no size %q", size)
	}
	side := size.Longest()
	if len(most) > 0 {
		side = most[0]
	}
	p, hung := pictures[work]
	if !hung {
		return template.HTML(mark(work, side)), nil
	}
	box := p.Box(size).Within(side)
	return template.HTML(fmt.Sprintf(`<img class="work" loading="lazy" decoding="async" width="%d" height="%d" alt="%s" src="%s">`,
		box.Width, box.Height, template.HTMLEscapeString(p.Seen()), PictureAt(p, size))), nil
}

// mark draws the mark of a work that has no picture: a horizon, a light above or on it, and a few lines of ground, placed by the
// work's id, so that two such works beside each other do not look alike. It says nothing aloud: the title stands beside it.
func mark(work int64, side int) string {
	sum := fnv.New64a()
	fmt.Fprint(sum, work)
	chance := sum.Sum64()
	below := func(n uint64) int {
		out := chance % n
		chance /= n
		return int(out)
	}
	horizon := 44 + 2*below(12)
	var b strings.Builder
	fmt.Fprintf(&b, `<span class="work none" aria-hidden="true"><svg viewBox="0 0 100 100" width="%d" height="%d" focusable="false">`, side, side)
	fmt.Fprintf(&b, `<path class="ground" d="M1 %dH99V99H1z"/>`, horizon)
	fmt.Fprintf(&b, `<circle class="light" cx="%d" cy="%d" r="%d"/>`, 22+4*below(15), horizon-below(22), 6+below(9))
	for y, i := horizon+9, 0; y < 94 && i < 4; i++ {
		from := 8 + below(40)
		fmt.Fprintf(&b, `<path class="line" d="M%d %dh%d"/>`, from, y, 20+below(30))
		y += 7 + below(6)
	}
	b.WriteString(`</svg></span>`)
	return b.String()
}
