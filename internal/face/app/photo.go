package app

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	_ "image/jpeg" // photos are looked at, not decoded
	_ "image/png"
	"time"

	_ "golang.org/x/image/webp"
)

// PhotoKeeper says how much somebody has sent.
type PhotoKeeper interface {
	// PhotosOf counts the photos that a person has sent since a time, and their bytes.
	PhotosOf(ctx context.Context, person string, since time.Time) (photos int, bytes int64, err error)
}

// What one person may send in a day: many times what a day of inspections takes,
// and little enough that nobody fills the laptop's disk unseen.
const (
	MostPhotosADay     = 1000
	MostPhotoBytesADay = 300 << 20
	mostPhotoDots      = 40_000_000
)

// checkPhoto refuses a photo that is none, that would take a tablet's memory to
// show, or that says where it was taken. Our tablets draw each photo anew before
// they send it, which leaves such notes out.
func checkPhoto(kind string, data []byte) error {
	head, format, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil || "image/"+format != kind:
		return &Wrong{"photo", "the photo is damaged: it cannot be read"}
	case head.Width < 1 || head.Height < 1 || head.Width > mostPhotoDots/head.Height:
		return &Wrong{"photo", fmt.Sprintf("the photo has %d × %d dots; at most %d million are taken", head.Width, head.Height, mostPhotoDots/1_000_000)}
	case placed(kind, data):
		return &Wrong{"photo", "the photo has notes of where it was taken; send it without them"}
	}
	return nil
}

// placed reports whether the notes in a photo's file say where it was taken, or may
// say so in a way that is not read here.
func placed(kind string, data []byte) bool {
	switch kind {
	case "image/jpeg":
		return placedJPEG(data)
	case "image/png":
		return placedChunks(data[8:], 4, binary.BigEndian, "eXIf", "iTXt", "zTXt")
	case "image/webp":
		return placedChunks(data[12:], 0, binary.LittleEndian, "EXIF", "XMP ")
	}
	return true
}

// placedJPEG looks at the segments before the picture.
func placedJPEG(data []byte) bool {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker := data[at+1]
		switch {
		case marker == 0xff: // filling
			at++
			continue
		case marker == 0xda || marker == 0xd9:
			return false
		}
		end := at + 2 + int(binary.BigEndian.Uint16(data[at+2:]))
		if end > len(data) || end < at+4 {
			return true
		}
		if body := data[at+4 : end]; marker == 0xe1 {
			tiff, exif := bytes.CutPrefix(body, []byte("Exif\x00\x00"))
			if !exif || placedTIFF(tiff) {
				return true // XMP, or what nobody of ours writes
			}
		}
		at = end
	}
	return true // no picture follows
}

// placedTIFF reports whether the first directory of Exif notes points to one of
// places (tag 8825 hexadecimal).
func placedTIFF(t []byte) bool {
	if len(t) < 8 {
		return true
	}
	var order binary.ByteOrder = binary.LittleEndian
	if t[0] == 'M' {
		order = binary.BigEndian
	}
	at := int64(order.Uint32(t[4:]))
	if at+2 > int64(len(t)) {
		return true
	}
	n := int64(order.Uint16(t[at:]))
	if at+2+12*n > int64(len(t)) {
		return true
	}
	for i := range n {
		if order.Uint16(t[at+2+12*i:]) == 0x8825 {
			return true
		}
	}
	return false
}

// placedChunks looks for chunks of notes: each is its length and its name, then
// its body and trailer more bytes; the name comes first where trailer is 0, as in
// WebP, whose bodies are filled to an even length.
func placedChunks(data []byte, trailer int, order binary.ByteOrder, notes ...string) bool {
	for len(data) >= 8 {
		name, length := string(data[4:8]), int64(order.Uint32(data))
		if trailer == 0 {
			name, length = string(data[:4]), int64(order.Uint32(data[4:]))
			length += length & 1
		}
		for _, x := range notes {
			if name == x {
				return true
			}
		}
		next := 8 + length + int64(trailer)
		if next >= int64(len(data)) {
			return false
		}
		data = data[next:]
	}
	return false
}

// roomForPhoto refuses a photo of somebody who has sent too many in a day. One that is
// there already takes no room.
func (s *School) roomForPhoto(ctx context.Context, person, hash string, size int) error {
	missing, err := s.keeper.MissingPhotos(ctx, []string{hash})
	if err != nil || len(missing) == 0 {
		return err
	}
	n, bytes, err := s.keeper.PhotosOf(ctx, person, s.now().Add(-24*time.Hour))
	if err != nil {
		return err
	}
	if n >= MostPhotosADay || bytes+int64(size) > MostPhotoBytesADay {
		return &Wrong{"photo", fmt.Sprintf("you have sent %d photos with %d MiB within a day; at most %d with %d MiB are taken. The rest is taken tomorrow", n, bytes>>20, MostPhotosADay, MostPhotoBytesADay>>20)}
	}
	return nil
}
