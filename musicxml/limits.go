package musicxml

// Limits bounds what a file may ask of the machine. A file beyond a limit is
// an [UnsupportedError] whose Limit says which. The zero value of a field means its
// default from [DefaultLimits].
type Limits struct {
	Bytes     int64 // size of the file as given and of a score inside a container, at most 2 GiB
	Ratio     int64 // unpacked size over packed size of a container's entry, where it unpacks to over 1 MiB
	Entries   int   // entries in a container
	Depth     int   // nesting of elements
	Elements  int   // elements and attributes of the document
	Notes     int   // note elements, rests included
	Measures  int   // measures of the score
	Parts     int   // parts of the score
	Divisions int64 // divisions of a quarter note, at most 1e9
	Length    int64 // length of the piece in quarter notes, at most 1e9
}

// DefaultLimits are above any printed score we know of. A symphony of an hour has some 200,000 notes
// in 100 MiB.
func DefaultLimits() Limits {
	return Limits{
		Bytes:     128 << 20,
		Ratio:     250,
		Entries:   1000,
		Depth:     100,
		Elements:  5_000_000,
		Notes:     240_000,
		Measures:  20_000,
		Parts:     500,
		Divisions: 1_000_000,
		Length:    100_000,
	}
}

// maxText is the largest document that offsets of 32 bits can address.
const maxText = 1<<31 - 2

func (l Limits) withDefaults() Limits {
	d := DefaultLimits()
	set(&l.Bytes, d.Bytes)
	set(&l.Ratio, d.Ratio)
	set(&l.Entries, d.Entries)
	set(&l.Depth, d.Depth)
	set(&l.Elements, d.Elements)
	set(&l.Notes, d.Notes)
	set(&l.Measures, d.Measures)
	set(&l.Parts, d.Parts)
	set(&l.Divisions, d.Divisions)
	set(&l.Length, d.Length)
	l.Bytes = min(l.Bytes, maxText)
	l.Divisions = min(l.Divisions, 1e9)
	l.Length = min(l.Length, 1e9)
	return l
}

func set[T int | int64](v *T, dflt T) {
	if *v <= 0 {
		*v = dflt
	}
}
