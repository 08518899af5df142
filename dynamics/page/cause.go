package page

// Cause is what gives a stretch its level, or how something that the page
// leaves open was read. It is data: its words are made where it is told.
type Cause struct {
	Kind CauseKind
	Text string // the print: "p", "cresc."; the part's name or the measure's number for those kinds
	Mark string // the level that the kind speaks of, by its nearest mark
	Then string // the mark that cuts a slope off at its end; "" if none
}

// CauseKind names a cause.
type CauseKind string

// The causes of a level.
const (
	Unmarked   CauseKind = "unmarked"
	Print      CauseKind = "print"         // Text says it, with its goal if it has one
	ToMark     CauseKind = "to"            // a slope reaches Mark
	ToNothing  CauseKind = "to nothing"    // it ends in silence
	About      CauseKind = "about"         // Mark is a guess
	MoreThan   CauseKind = "more than"     // louder than all that is printed
	LessThan   CauseKind = "less than"     // softer than all that is printed
	BackTo     CauseKind = "back to"       // the second half of a swell
	LittleMore CauseKind = "a little more" // a crescendo from Mark to Mark
	After      CauseKind = "after"         // the level that a slope left
	Homeward   CauseKind = "homeward"      // the way back to the running level
	AsPart     CauseKind = "as part"       // what the part named Text has
	AsMeasure  CauseKind = "as measure"    // what was marked when measure Text sounded first
	AsEnding   CauseKind = "as before the first ending"
)

// The causes of an inference only.
const (
	Starts      CauseKind = "starts"             // nothing is printed at the start
	OnRepeat    CauseKind = "only when repeated" // Text counts the second time
	PocoForte   CauseKind = "poco forte"         // pf has two readings
	Leans       CauseKind = "leans"              // a manner, Text, leans to Mark
	StavesApart CauseKind = "staves apart"       // they are marked differently at one moment
)
