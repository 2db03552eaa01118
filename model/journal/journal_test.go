package journal

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// someText is a text of a few short lines, often like another one.
func someText(r *rand.Rand) []byte {
	var b strings.Builder
	for range r.IntN(6) {
		b.WriteString([]string{"a\n", "b\n", "aa\n", "Ω\n", "Ω", "µ\n", "\n"}[r.IntN(7)])
	}
	return []byte(b.String())
}

func TestASpliceMakesTheTextOfTheOld(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		old, text := someText(r), someText(r)
		s := between(old, text)
		got, fits := s.apply(bytes.Clone(old))
		if !fits || !bytes.Equal(got, text) {
			t.Fatalf("%q to %q: %+v gives %q, %v", old, text, s, got, fits)
		}
		if strings.ToValidUTF8(s.Insert, "") != s.Insert {
			t.Fatalf("%q to %q: a character is cut in %+v", old, text, s)
		}
	}
}

func TestASpliceIsSmall(t *testing.T) {
	t.Parallel()
	old := strings.Repeat("one line\n", 1000) + "4k7\n" + strings.Repeat("another line\n", 1000)
	if s := between([]byte(old), []byte(strings.Replace(old, "4k7", "10k", 1))); s != (splice{9000, 4, "10k\n"}) {
		t.Errorf("%+v", s)
	}
}

func TestASpliceThatDoesNotFit(t *testing.T) {
	t.Parallel()
	for _, s := range []splice{{At: -1}, {At: 4}, {At: 2, Remove: 2}, {Remove: -1}, {At: 1, Remove: 1<<63 - 1}} {
		if text, fits := s.apply([]byte("abc")); fits || string(text) != "abc" {
			t.Errorf("%+v: %q", s, text)
		}
	}
}

// sample is a journal with the states after each of its lines; none after the
// heading.
func sample() (data []byte, ends []int, states []string) {
	head, sum := line(heading{format, version, "/tmp/Ω lamp.cglass"}, 0)
	data, ends, states = head, []int{len(head)}, []string{""}
	old := ""
	for _, text := range []string{"{\n  a\n}\n", "{\n  b < 4k7 & \"c\"\n}\n", "{\n}\n", "{\n  µ\n  \u2028\n}\n"} {
		var l []byte
		l, sum = line(between([]byte(old), []byte(text)), sum)
		data, states = append(data, l...), append(states, text)
		ends = append(ends, len(data))
		old = text
	}
	return data, ends, states
}

// before is the last state that a fault at a byte leaves whole.
func before(at int, ends []int, states []string) string {
	text := ""
	for i, end := range ends {
		if end <= at {
			text = states[i]
		}
	}
	return text
}

func TestReplay(t *testing.T) {
	t.Parallel()
	data, _, states := sample()
	if path, text := replay(data); path != "/tmp/Ω lamp.cglass" || string(text) != states[len(states)-1] {
		t.Errorf("%q, %q", path, text)
	}
}

// TestAnyFaultLeavesWhatIsBeforeIt cuts the journal short at every byte, adds
// zeros there, as a power cut may, and damages every byte in every bit.
func TestAnyFaultLeavesWhatIsBeforeIt(t *testing.T) {
	t.Parallel()
	data, ends, states := sample()
	check := func(what string, at int, damaged []byte) {
		t.Helper()
		if _, text := replay(damaged); string(text) != before(at, ends, states) {
			t.Fatalf("%s at byte %d leaves %q, want %q", what, at, text, before(at, ends, states))
		}
	}
	for at := range data {
		check("a cut", at, data[:at])
		check("zeros", at, append(bytes.Clone(data[:at]), make([]byte, 512)...))
		for bit := range 8 {
			damaged := bytes.Clone(data)
			damaged[at] ^= 1 << bit
			check("a bit", at, damaged)
		}
	}
	for i := 1; i < len(ends); i++ {
		from, to := ends[i-1], ends[i]
		check("a lost line", from, append(bytes.Clone(data[:from]), data[to:]...))
		check("a line twice", to, append(bytes.Clone(data[:to]), data[from:]...))
	}
}

func TestALaterFormIsLeftAlone(t *testing.T) {
	t.Parallel()
	head, sum := line(heading{format, version + 1, ""}, 0)
	tail, _ := line(between(nil, []byte("{}\n")), sum)
	if _, text := replay(append(head, tail...)); text != nil {
		t.Errorf("read as %q", text)
	}
}

func FuzzReplay(f *testing.F) {
	data, ends, _ := sample()
	f.Add(data)
	f.Add(data[:ends[2]+5])
	f.Add([]byte("00000000 {}\n"))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		_, text := replay(data)
		_, again := replay(append(bytes.Clone(data), 0))
		if bytes.HasSuffix(data, []byte("\n")) && !bytes.Equal(text, again) {
			t.Errorf("a torn line changes %q to %q", text, again)
		}
	})
}

// FuzzFile reads any file as an orphan.
func FuzzFile(f *testing.F) {
	data, _, _ := sample()
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		name := filepath.Join(t.TempDir(), "drawing.1.journal")
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		if o, ok := read(name); ok && o.Drawing == nil {
			t.Error("no drawing")
		}
	})
}
