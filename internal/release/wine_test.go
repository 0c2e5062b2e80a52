package main

import (
	"bytes"
	"debug/pe"
	"encoding/binary"
	"os"
	"path/filepath"
	"testing"
)

// forwarder is a library for Windows on amd64 that exports one name and has no code: the system looks for the other one instead.
// Source: Microsoft, PE Format, ".edata section": an export address within the export section is a forwarder. From memory; that
// a program is run by it shows it.
func forwarder(t *testing.T, library, name, to string) []byte {
	t.Helper()
	const (
		headers = 0x200  // in the file, one alignment
		at      = 0x1000 // where the section lies in memory
	)
	var names bytes.Buffer
	put := func(s string) uint32 { // returns its address
		where := at + 40 + 4 + 4 + 2 + names.Len() // behind the directory and its three tables of one entry each
		names.WriteString(s + "\x00")
		return uint32(where)
	}
	lib, exported, target := put(library), put(name), put(to)
	var section bytes.Buffer
	for _, part := range []any{
		struct {
			Flags, Time                       uint32
			Major, Minor                      uint16
			Name, Base, Functions, Names      uint32
			AddressOf, AddressOfNames, Number uint32
		}{Name: lib, Base: 1, Functions: 1, Names: 1, AddressOf: at + 40, AddressOfNames: at + 44, Number: at + 48},
		target, exported, uint16(0), names.Bytes(),
	} {
		if err := binary.Write(&section, binary.LittleEndian, part); err != nil {
			t.Fatal(err)
		}
	}
	size := uint32(section.Len())
	optional := pe.OptionalHeader64{
		Magic: 0x20b, SizeOfInitializedData: headers, ImageBase: 0x1_8000_0000, SectionAlignment: at, FileAlignment: headers,
		MajorOperatingSystemVersion: 6, MajorSubsystemVersion: 6, SizeOfImage: 2 * at, SizeOfHeaders: headers,
		Subsystem: pe.IMAGE_SUBSYSTEM_WINDOWS_CUI, DllCharacteristics: pe.IMAGE_DLLCHARACTERISTICS_NX_COMPAT, NumberOfRvaAndSizes: 16,
	}
	optional.DataDirectory[pe.IMAGE_DIRECTORY_ENTRY_EXPORT] = pe.DataDirectory{VirtualAddress: at, Size: size}
	dos := make([]byte, 64)
	copy(dos, "MZ")
	dos[60] = 64 // where the next header begins
	var b bytes.Buffer
	for _, part := range []any{
		dos, []byte("PE\x00\x00"),
		pe.FileHeader{
			Machine: pe.IMAGE_FILE_MACHINE_AMD64, NumberOfSections: 1, SizeOfOptionalHeader: uint16(binary.Size(optional)),
			Characteristics: pe.IMAGE_FILE_EXECUTABLE_IMAGE | pe.IMAGE_FILE_LARGE_ADDRESS_AWARE | pe.IMAGE_FILE_DLL,
		},
		optional,
		pe.SectionHeader32{
			Name: [8]uint8{'.', 'e', 'd', 'a', 't', 'a'}, VirtualSize: size, VirtualAddress: at, SizeOfRawData: headers, PointerToRawData: headers,
			Characteristics: pe.IMAGE_SCN_CNT_INITIALIZED_DATA | pe.IMAGE_SCN_MEM_READ,
		},
	} {
		if err := binary.Write(&b, binary.LittleEndian, part); err != nil {
			t.Fatal(err)
		}
	}
	whole := make([]byte, 2*headers)
	copy(whole, b.Bytes())
	copy(whole[headers:], section.Bytes())
	return whole
}

func TestForwarder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.dll")
	if err := os.WriteFile(path, forwarder(t, "x.dll", "Here", "there.Really"), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := pe.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	data, err := f.Sections[0].Data()
	if err != nil || !bytes.Contains(data, []byte("x.dll\x00Here\x00there.Really\x00")) {
		t.Errorf("%v: its section holds %q", err, data)
	}
}
