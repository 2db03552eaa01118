package sparse

// meter counts operations and asks from time to time whether to go on. A nil
// meter never does.
type meter struct {
	ask  func() error
	left int // operations until it asks again
}

// interval is how many operations, each of some nanoseconds, pass between two
// questions.
const interval = 1 << 14

// spend counts n operations. Where the answer is an error it panics with
// interrupted, which rescue turns into that error.
func (m *meter) spend(n int) {
	if m == nil || m.ask == nil {
		return
	}
	if m.left -= n; m.left > 0 {
		return
	}
	m.left = interval
	if err := m.ask(); err != nil {
		panic(interrupted{err})
	}
}

type interrupted struct{ error }

// rescue is deferred where an interruption ends.
func rescue(err *error) {
	switch fault := recover().(type) {
	case nil:
	case interrupted:
		*err = fault.error
	default:
		panic(fault)
	}
}
