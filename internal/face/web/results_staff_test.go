package web

import (
	"encoding/csv"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/policy/extra"
)

// What says what is planted before the key was shown says that it is not for
// students; and an attempt against the rules is marked wherever it stands.
func TestResults_NotForStudentsAndIrregular(t *testing.T) {
	x := teaching(t)
	who := x.students[0]
	v1 := x.plant(one())
	x.instructor.deliver(v1, x.aRun(made("run", 1), v1, who, 1, 0))
	v2 := x.plant(one())
	x.instructor.deliver(v2, x.aRun(made("run", 2), v2, who, 2, 0))
	at := "/classes/" + x.class + "/statistics"
	rows := func(hidden bool) (irregular, shown int) {
		t.Helper()
		w := x.instructor.ask("GET", at+"/results.csv", nil)
		if strings.Contains(w.Header().Get("Content-Disposition"), "NOT-FOR-STUDENTS") != hidden {
			t.Errorf("the file is called %s", w.Header().Get("Content-Disposition"))
		}
		all, err := csv.NewReader(w.Body).ReadAll()
		if err != nil || len(all) < 3 {
			t.Fatalf("%d rows, %v", len(all), err)
		}
		column := map[string]int{}
		for i, name := range all[0] {
			column[name] = i
		}
		for _, r := range all[1:] {
			if odd := r[column["irregular"]]; odd != "" {
				irregular++
				if !strings.Contains(odd, "no retraining is recorded") || r[column["attempt"]] != "2" {
					t.Errorf("irregular: %v", r)
				}
			} else if r[column["attempt"]] != "1" {
				t.Errorf("not marked: %v", r)
			}
			if r[column["key_shown"]] == "true" {
				shown++
			}
		}
		return irregular, shown
	}
	if irregular, shown := rows(true); irregular == 0 || shown != 0 {
		t.Errorf("%d irregular, %d shown", irregular, shown)
	}
	if name := x.instructor.ask("GET", at+"/statements.json", nil).Header().Get("Content-Disposition"); !strings.Contains(name, "NOT-FOR-STUDENTS") {
		t.Errorf("the statements are called %s", name)
	}
	if page := x.instructor.page(at); !strings.Contains(page, "NOT FOR STUDENTS") {
		t.Errorf("the page: %s", mainOf(page))
	}
	for _, v := range []string{v1, v2} {
		if w := x.instructor.ask("POST", "/versions/"+v, url.Values{"do": {"key"}}); w.Code != 200 {
			t.Fatalf("the key was not shown: %d %s", w.Code, mainOf(w.Body.String()))
		}
	}
	if _, shown := rows(false); shown == 0 {
		t.Error("no key is shown")
	}
	if page := x.instructor.page(at); strings.Contains(page, "NOT FOR STUDENTS") {
		t.Errorf("the page: %s", mainOf(page))
	}
	w := x.instructor.ask("GET", "/classes/"+x.class+"/students/"+who+"/results.pdf", nil)
	pdftotext := extra.Need(t, "poppler")
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, w.Body.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	if strings.Count(text, "in an irregular attempt") != 1 || !strings.Contains(text, "Irregular when it began: no retraining is recorded") {
		t.Errorf("the sheet: %s", text)
	}
}
