package journal

import (
	"bytes"
	"fmt"
	"os"
	"sync"
	"time"

	"copperglass/model"
	"copperglass/model/file"
)

const (
	// Pause is how long changes are gathered before they are written.
	Pause = 250 * time.Millisecond
	// again is how long after a failure it is tried once more.
	again = 5 * time.Second
)

// Keeper keeps the journal of one drawing, on a goroutine of its own. Its
// methods may be called from any goroutine; none of them but Flush and Close
// waits for the disk.
type Keeper struct {
	folder string      // the program's own
	told   func(error) // of a failure, and of nil when all is well again; may be nil
	wake   chan struct{}
	flush  chan chan outcome
	quit   chan struct{}
	once   sync.Once // for quit
	ended  chan struct{}

	mu      sync.Mutex
	wish    wish
	fresh   bool // whether the wish is yet to be carried out
	doubted bool // whether the journal may be gone

	// These belong to the goroutine.
	written *written // nil where there is no journal
	failing bool
}

// wish is what is to be on the disk.
type wish struct {
	path    string
	drawing *model.Diagram // nil for no journal at all
	saved   *model.Diagram // what it was made of; nil where nobody knows
	replace []Orphan       // to be removed when this is on the disk
}

// NewKeeper returns a keeper without a journal yet. The folder is the
// program's own; told is called from another goroutine when the journal cannot
// be written, and with nil when it can again.
func NewKeeper(folder string, told func(error)) *Keeper {
	k := &Keeper{
		folder: folder, told: told,
		wake: make(chan struct{}, 1), flush: make(chan chan outcome), quit: make(chan struct{}), ended: make(chan struct{}),
	}
	go k.run()
	return k
}

// Keep puts the drawing d, which belongs to the file at path, into the journal;
// the path is empty where there is no file. Nothing of d may change any more.
// Orphans that it takes the place of are discarded once it is on the disk.
func (k *Keeper) Keep(path string, d *model.Diagram, orphans ...Orphan) {
	k.mu.Lock()
	saved := k.wish.saved
	k.mu.Unlock()
	k.want(wish{path, d, saved, orphans})
}

// Saved removes the journal, as there is nothing that is not saved. The next one
// begins from d, of which nothing may change any more; d may be nil.
func (k *Keeper) Saved(d *model.Diagram) { k.want(wish{saved: d}) }

// Drop removes the journal.
func (k *Keeper) Drop() { k.Saved(nil) }

// Check sees to it that the journal is still where it belongs: it is written
// again where somebody has taken it away, with its folder perhaps, and moves to
// the program's own folder where the file that it stood beside is gone.
func (k *Keeper) Check() {
	k.mu.Lock()
	k.doubted = true
	k.mu.Unlock()
	k.poke()
}

func (k *Keeper) want(w wish) {
	k.mu.Lock()
	w.replace = append(k.wish.replace, w.replace...)
	k.wish, k.fresh = w, true
	k.mu.Unlock()
	k.poke()
}

func (k *Keeper) poke() {
	select {
	case k.wake <- struct{}{}:
	default: // it is awake
	}
}

// outcome is what came of a wish.
type outcome struct {
	name string // of the journal, empty where there is none
	err  error
}

// Flush returns when all is on the disk, with the journal's path, or with the
// reason why it is not. The path is empty where there is nothing to keep.
func (k *Keeper) Flush() (name string, err error) {
	reply := make(chan outcome, 1)
	select {
	case k.flush <- reply:
		o := <-reply
		return o.name, o.err
	case <-k.ended:
		return "", nil
	}
}

// Close flushes and ends the keeper. A journal that was not dropped stays.
func (k *Keeper) Close() error {
	_, err := k.Flush()
	k.once.Do(func() { close(k.quit) })
	<-k.ended
	return err
}

func (k *Keeper) run() {
	defer close(k.ended)
	defer func() { k.written.close() }()
	for {
		var reply chan outcome
		select {
		case <-k.wake:
			select {
			case <-time.After(Pause):
			case reply = <-k.flush:
			case <-k.quit:
				return
			}
		case reply = <-k.flush:
		case <-k.quit:
			return
		}
		err := k.carryOut()
		if reply != nil {
			reply <- outcome{k.written.name(), err}
		}
	}
}

// carryOut does what is wished for by now. What fails is tried again later.
func (k *Keeper) carryOut() error {
	k.mu.Lock()
	w := k.wish
	due := k.fresh || k.doubted && w.drawing != nil && !k.written.continues(w)
	k.wish.replace, k.fresh, k.doubted = nil, false, false
	k.mu.Unlock()
	if !due {
		return nil
	}
	err := k.put(w)
	if err == nil {
		for _, o := range w.replace {
			o.Discard()
		}
	} else {
		k.putOff(w)
	}
	k.tell(err)
	return err
}

// putOff waits with a wish that failed, unless there is another by now.
func (k *Keeper) putOff(w wish) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.wish.replace = append(w.replace, k.wish.replace...)
	k.fresh = true
	time.AfterFunc(again, k.poke)
}

// tell reports a change between well and failing.
func (k *Keeper) tell(err error) {
	if changed := (err != nil) != k.failing; changed && k.told != nil {
		k.told(err)
	}
	k.failing = err != nil
}

// put makes the disk be as wished.
func (k *Keeper) put(w wish) error {
	if w.drawing == nil {
		k.written.remove()
		k.written = nil
		return nil
	}
	var text bytes.Buffer
	if err := file.Encode(&text, w.drawing); err != nil {
		return err
	}
	if k.written.continues(w) && k.written.add(text.Bytes()) == nil {
		return nil
	}
	begun, err := k.begin(w, text.Bytes())
	if err != nil {
		return err
	}
	k.written.remove()
	k.written = begun
	return nil
}

// begin starts a journal beside the file, or else in the program's own folder,
// which is looked through for drawings whose file is gone.
func (k *Keeper) begin(w wish, text []byte) (*written, error) {
	if isThere(w.path) {
		if j, err := start(beside(w.path), w, text); err == nil {
			return j, nil
		}
	}
	if err := os.MkdirAll(k.folder, 0o700); err != nil {
		return nil, k.cannot(err)
	}
	j, err := start(within(k.folder), w, text)
	if err != nil {
		return nil, k.cannot(err)
	}
	return j, nil
}

func (k *Keeper) cannot(err error) error {
	return fmt.Errorf("cannot write to %s: %w", k.folder, file.Explain(err, k.folder))
}
