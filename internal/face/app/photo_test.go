package app

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/people"
)

func jpegOf(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withSegment puts an APP1 segment behind a JPEG's first two bytes.
func withSegment(data []byte, body string) []byte {
	segment := append([]byte{0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(append([]byte{}, data[:2]...), append(segment, body...)...), data[2:]...)
}

// withChunk puts a chunk behind a PNG's header; its checksum is not looked at
// where only the header is read.
func withChunk(data []byte, name, body string) []byte {
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	chunk = append(append(append(chunk, name...), body...), 0, 0, 0, 0)
	return append(append(append([]byte{}, data[:33]...), chunk...), data[33:]...)
}

func TestCheckPhoto(t *testing.T) {
	plain := jpegOf(t)
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 4, 3))); err != nil {
		t.Fatal(err)
	}
	dots := append([]byte{}, b.Bytes()...)
	// The size stands behind the name of the first chunk, whose checksum ends at 33.
	copy(dots[16:], []byte{0, 0, 0xff, 0xff, 0, 0, 0xff, 0xff})
	const (
		size  = "Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\xa0\x02\x00\x04\x00\x00\x00\x01\x00\x00\x00\x28\x00\x00\x00\x00"
		place = "Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x25\x88\x04\x00\x01\x00\x00\x00\x1a\x00\x00\x00\x00\x00\x00\x00"
	)
	for _, c := range []struct {
		what, kind string
		data       []byte
		want       string // "" where it is taken
	}{
		{"a photo", "image/jpeg", plain, ""},
		{"with its size in Exif notes", "image/jpeg", withSegment(plain, size), ""},
		{"with a place in Exif notes", "image/jpeg", withSegment(plain, place), "where it was taken"},
		{"with cut Exif notes", "image/jpeg", withSegment(plain, place[:20]), "where it was taken"},
		{"with XMP notes", "image/jpeg", withSegment(plain, "http://ns.adobe.com/xap/1.0/\x00<x/>"), "where it was taken"},
		{"a PNG", "image/png", b.Bytes(), ""},
		{"a PNG with notes", "image/png", withChunk(b.Bytes(), "eXIf", place[6:]), "where it was taken"},
		{"a page that begins like a photo", "image/jpeg", []byte("\xff\xd8\xff<script>alert(1)</script>"), "cannot be read"},
		{"a PNG of 4 thousand million dots", "image/png", dots, ""},
		{"a PNG that says it is a JPEG", "image/jpeg", b.Bytes(), "cannot be read"},
	} {
		err := checkPhoto(c.kind, c.data)
		if c.what == "a PNG of 4 thousand million dots" {
			// Go's reader refuses the changed checksum before the size is looked at.
			if err == nil {
				t.Errorf("%s is taken", c.what)
			}
			continue
		}
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.what, err, c.want)
		}
	}
}

// sentAlready keeps nothing; it says what was sent before.
type sentAlready struct {
	SchoolKeeper
	photos int
	bytes  int64
	there  bool
	since  time.Time
	kept   int
}

func (k *sentAlready) MissingPhotos(_ context.Context, hashes []string) ([]string, error) {
	if k.there {
		return nil, nil
	}
	return hashes, nil
}

func (k *sentAlready) PhotosOf(_ context.Context, _ string, since time.Time) (int, int64, error) {
	k.since = since
	return k.photos, k.bytes, nil
}

func (k *sentAlready) AddPhoto(_ context.Context, _ string, data []byte, _ string) (string, error) {
	k.kept++
	return Version(data), nil
}

func TestAddPhoto_SoManyADay(t *testing.T) {
	now := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		photos int
		bytes  int64
		there  bool
		taken  bool
	}{
		{0, 0, false, true},
		{MostPhotosADay - 1, 0, false, true},
		{MostPhotosADay, 0, false, false},
		{1, MostPhotoBytesADay, false, false},
		{MostPhotosADay, MostPhotoBytesADay, true, true}, // sent again: it takes no room
	} {
		k := &sentAlready{photos: c.photos, bytes: c.bytes, there: c.there}
		s := NewSchool(k, nil, nil, func() time.Time { return now })
		_, err := s.AddPhoto(context.Background(), &people.Person{ID: "a", Roles: []people.Role{people.Student}}, jpegOf(t))
		var wrong *Wrong
		if (err == nil) != c.taken || err != nil && !errors.As(err, &wrong) || (k.kept == 1) != c.taken {
			t.Errorf("after %d photos with %d bytes: %v, %d kept", c.photos, c.bytes, err, k.kept)
		}
		if !c.there && !k.since.Equal(now.Add(-24*time.Hour)) {
			t.Errorf("counted since %s", k.since)
		}
	}
}
