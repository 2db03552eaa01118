package newton

// Settings bound the work and say what counts as solved. The zero value means
// the defaults.
type Settings struct {
	// Residual is how large a residual may be beside the largest of its terms;
	// 0 means 1e-9. Polishing goes on well below it, as far as there is
	// something to gain.
	Residual float64
	// Least is the residual that is always small enough, in amperes and volts;
	// 0 means 1e-15.
	Least float64
	// Step is how large the last step may be beside the unknown; 0 means 1e-9.
	// An unknown that would still move by more counts as open.
	Step float64
	// Direct bounds the iterations of the first attempt; 0 means 100.
	Direct int
	// Stage bounds the iterations of each stage of a ramp; 0 means 40.
	Stage int
	// Stages bounds the stages of each ramp; 0 means 80.
	Stages int
	// Most bounds the iterations of all attempts together, but for polishing; 0
	// means no bound.
	Most int
	// Brief leaves out the ways that few systems need and that take long: only
	// Newton's method, with and without a line search, and the leak are tried.
	Brief bool
	// Quick leaves out the ramps: a system that does not settle may be solved
	// more readily in another form.
	Quick bool
	// Near tries nothing that does not begin at the start.
	Near bool
	// Settle lets the system settle from the start as it would in time, and so
	// finds the stable solution on that side, and tries nothing else.
	Settle bool
}

func (s Settings) withDefaults() Settings {
	setDefault(&s.Residual, 1e-9)
	setDefault(&s.Least, 1e-15)
	setDefault(&s.Step, 1e-9)
	setDefault(&s.Direct, 100)
	setDefault(&s.Stage, 40)
	setDefault(&s.Stages, 80)
	return s
}

func setDefault[T int | float64](x *T, value T) {
	if *x == 0 {
		*x = value
	}
}

// Status is how an attempt ended.
type Status uint8

// The ways in which an attempt ends.
const (
	Converged Status = iota // residual and step are small enough
	Exhausted               // the allowed iterations were not enough
	Singular                // the equations leave something open that no holding mends
	Cancelled               // the context ended first
)

func (s Status) String() string {
	return [...]string{"converged", "not converged", "singular", "cancelled"}[s]
}

// Stats tell how a solution was found.
type Stats struct {
	Status     Status
	Method     string  // in words
	Iterations int     // over all attempts
	Residual   float64 // the largest residual beside the largest of its terms
	Open       []int   // unknowns that the equations leave open, in order
}
