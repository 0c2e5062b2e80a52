"""Makes the faces of the papers: what a face needs to be set and printed, without hints, under names of our own.

usage: faces.py SOURCES OUT
SOURCES holds, unpacked: the npm package @expo-google-fonts/source-serif-4 0.4.1 as source-serif, and the Debian packages
fonts-noto-core 20201225-1, fonts-droid-fallback 1:6.0.1r16-1.1 and fonts-nanum 20200506-1 as they lie below /usr/share/fonts/truetype; and
the Go module codeberg.org/go-fonts/liberation v0.6.0 as liberation.
Needs fontTools (Debian: python3-fonttools 4.38).
"""
import lzma
import os
import sys

from fontTools import subset

sources, out = sys.argv[1:]
KERNED = ["kern", "liga", "mark", "mkmk", "ccmp", "locl", "case"]
FOREIGN = ["*"]
PACKED = ["arabic", "devanagari", "more", "hangul", "han"]
DROPPED = "FFTM DSIG STAT MVAR HVAR fvar avar gvar meta BASE VORG vhea vmtx gasp LTSH VDMX hdmx EBDT EBLC EBSC".split()


def block(*ranges):
    return {c for a, b in ranges for c in range(a, b + 1)}


def make(face, files, features, keep=None):
    """Keeps of the first file that has them the characters of keep (all when None)."""
    path = os.path.join(sources, files)
    o = subset.Options()
    o.hinting = False
    o.notdef_outline = True
    o.glyph_names = False
    o.layout_features = features
    o.drop_tables += DROPPED
    f = subset.load_font(path, o)
    chars = set(f.getBestCmap())
    s = subset.Subsetter(o)
    s.populate(unicodes=chars if keep is None else chars & keep)
    s.subset(f)
    licence = [r for r in f["name"].names if r.nameID in (0, 13, 14) and r.platformID == 3]
    f["name"].names = licence
    for i, text in ((1, "Solander " + face), (2, "Regular"), (4, "Solander " + face), (6, "Solander-" + face)):
        f["name"].setName(text, i, 3, 1, 0x409)
    f["head"].modified = f["head"].created
    f.recalcTimestamp = False
    to = os.path.join(out, face + ".ttf")
    f.save(to)
    if face in PACKED:
        with open(to, "rb") as r, open(to + ".xz", "wb") as w:
            w.write(lzma.compress(r.read(), preset=9 | lzma.PRESET_EXTREME))
        os.remove(to)
        to += ".xz"
    print(to, os.path.getsize(to), f["maxp"].numGlyphs, "glyphs")


make("roman", "source-serif/400Regular/SourceSerif4_400Regular.ttf", KERNED)
make("italic", "source-serif/400Regular_Italic/SourceSerif4_400Regular_Italic.ttf", KERNED)
make("bold", "source-serif/600SemiBold/SourceSerif4_600SemiBold.ttf", KERNED)
make("hebrew", "noto/NotoSerifHebrew-Regular.ttf", FOREIGN, block((0x0590, 0x05FF), (0x20AA, 0x20AA), (0x25CC, 0x25CC), (0xFB1D, 0xFB4F)))
make("arabic", "noto/NotoNaskhArabic-Regular.ttf", FOREIGN, block((0x0600, 0x06FF), (0x0750, 0x077F), (0x08A0, 0x08FF), (0x200C, 0x200D), (0x25CC, 0x25CC), (0xFD3E, 0xFD3F), (0xFDFA, 0xFDFD)))
make("thai", "noto/NotoSerifThai-Regular.ttf", FOREIGN, block((0x0E00, 0x0E7F), (0x25CC, 0x25CC)))
make("devanagari", "noto/NotoSerifDevanagari-Regular.ttf", FOREIGN, block((0x0900, 0x097F), (0x200C, 0x200D), (0x25CC, 0x25CC), (0xA8E0, 0xA8FF)))
make("armenian", "noto/NotoSerifArmenian-Regular.ttf", FOREIGN, block((0x0530, 0x058F), (0xFB13, 0xFB17)))
make("georgian", "noto/NotoSerifGeorgian-Regular.ttf", FOREIGN, block((0x10A0, 0x10FF), (0x1C90, 0x1CBF), (0x2D00, 0x2D2F)))
make("symbols", "noto/NotoSansSymbols2-Regular.ttf", FOREIGN, block((0x2190, 0x21FF), (0x2300, 0x23FF), (0x25A0, 0x27BF), (0x2B00, 0x2BFF)))
make("more", "liberation/liberationserifregular/LiberationSerif-Regular.ttf", FOREIGN)
make("hangul", "nanum/NanumMyeongjo.ttf", FOREIGN, block((0xAC00, 0xD7A3)))
make("han", "droid/DroidSansFallbackFull.ttf", FOREIGN, block((0x2E80, 0x2FDF), (0x3000, 0x312F), (0x31C0, 0x9FFF), (0xF900, 0xFAFF), (0xFE30, 0xFE4F), (0xFF00, 0xFFEF)))
