package file_test

import (
	"bytes"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

// The title block stands behind the title, key by key; what is empty is left
// out.
func TestTitleBlock(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Title: "Lamp", Block: model.TitleBlock{Who: "M. Maker", Date: "2026-11-25", Revision: "B"}}
	var text bytes.Buffer
	if err := file.Encode(&text, d); err != nil {
		t.Fatal(err)
	}
	want := "  \"title\": \"Lamp\",\n  \"who\": \"M. Maker\",\n  \"date\": \"2026-11-25\",\n  \"revision\": \"B\",\n"
	if !strings.Contains(text.String(), want) {
		t.Errorf("the file says\n%s", text.String())
	}
	back, err := file.Decode(&text)
	if err != nil || back.Block != d.Block || len(back.Extra) > 0 {
		t.Errorf("%v: %+v, extra %v", err, back, back.Extra)
	}
	text.Reset()
	if err := file.Encode(&text, &model.Diagram{}); err != nil || strings.Contains(text.String(), "revision") {
		t.Errorf("%v: an empty block is written: %s", err, text.String())
	}
	const wrong = `{"format": "copperglass", "version": 1, "revision": 2, "parts": []}`
	if _, err := file.Decode(strings.NewReader(wrong)); err == nil || !strings.Contains(err.Error(), "revision: a number stands where text is expected") {
		t.Errorf("a number for the revision: %v", err)
	}
}
