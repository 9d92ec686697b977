package qr

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/policy/extra"
)

// What is drawn is read back by a reader that is not ours.
func TestPicture_IsRead(t *testing.T) {
	zbarimg := extra.Need(t, "zbar")
	for _, text := range []string{
		"https://kestmoor.local:8443/load/3f9c", "HUT", strings.Repeat("https://kestmoor.local/x?", 8),
	} {
		p, err := Picture(text, 40)
		if err != nil || p.Check() != nil {
			t.Fatalf("%q: %v, %v", text, err, p.Check())
		}
		var b bytes.Buffer
		if err := png.Encode(&b, p, 300); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "code.png")
		if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(zbarimg, "--quiet", "--raw", file).Output()
		if got := strings.TrimSuffix(string(out), "\n"); err != nil || got != text {
			t.Errorf("read %q, %v; want %q", got, err, text)
		}
	}
}

func TestPicture_StaysDarkOnLight(t *testing.T) {
	p, err := Picture("HUT", 30)
	if err != nil {
		t.Fatal(err)
	}
	text, err := svg.String(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, role := range []string{"fill-ink", "fill-paper"} {
		if strings.Contains(text, role+`"`) {
			t.Errorf("the code is drawn with %s, which a dark screen turns round", role)
		}
	}
	if _, err := Picture("Hütte", 30); err == nil {
		t.Error("a sign that readers guess at was taken")
	}
	if _, err := Picture(strings.Repeat("x", 4000), 30); err == nil {
		t.Error("a text too long for a code was taken")
	}
}
