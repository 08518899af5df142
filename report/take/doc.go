// Package take tells what a player did: takes laid over the page and the harmony of
// a reading.
//
// Start at [New]; [Report.Write] writes it as a table, JSON or TSV.
//
// # Conventions
//
// Onsets are quarter notes from the start as written; a passage played twice has two
// passes, counted from 1 in the order played. Times are seconds of the recording,
// loudness decibels, tempo beats of the page a minute. What a number is too small to
// say is not said; what was heard in sound is put as a question.
package take

import "hairpin/report"

// Report is everything told of the takes of one score.
type Report struct {
	Schema  int    `json:"schema"`
	Title   string `json:"title,omitempty"`
	Takes   []Take `json:"takes"`
	Caution string `json:"caution"`

	reading *report.Reading
}

// Take is what is told of one take.
type Take struct {
	File     string    `json:"file"`
	Sound    bool      `json:"sound"` // else keys struck
	Seconds  number    `json:"seconds"`
	Found    number    `json:"found"` // 0 to 1, how much of it the score explains
	Warnings []string  `json:"warnings,omitempty"`
	Notes    *Notes    `json:"notes,omitempty"`
	Passes   []Pass    `json:"passes"`
	Lost     []Lost    `json:"lost"`
	Beats    []Beat    `json:"beats"`
	Hairpins []Hairpin `json:"hairpins"`
	Levels   []Level   `json:"levels"`
	Moves    []Move    `json:"moves"`
	Goals    []Goal    `json:"goals"`
	Hands    []Hands   `json:"hands"`
}

// Notes counts keys struck and lists the faults.
type Notes struct {
	Struck int     `json:"struck"`
	Right  int     `json:"right"`
	Missed []Fault `json:"missed"`
	Wrong  []Fault `json:"wrong"`
}

// Fault is a note missed, or a key struck that is not written there.
type Fault struct {
	Onset number `json:"onset"`
	At    string `json:"at"`
	Note  string `json:"note"`
	Time  number `json:"time,omitempty"` // of a wrong one
}

// Pass is a stretch played without a stop or jump.
type Pass struct {
	Onset    number `json:"onset"`
	End      number `json:"end"`
	Measures string `json:"measures"`
	Time     number `json:"time"`
	TimeEnd  number `json:"time_end"`
}

// Lost is a stretch of time in which the place is not known.
type Lost struct {
	Time    number `json:"time"`
	TimeEnd number `json:"time_end"`
	Pause   bool   `json:"pause"` // nothing was played
}

// Beat is one beat as played.
type Beat struct {
	Onset    number  `json:"onset"`
	Measure  string  `json:"measure"`
	Beat     number  `json:"beat"`
	Pass     int     `json:"pass"`
	Time     number  `json:"time"`
	Tempo    number  `json:"tempo,omitempty"`
	Level    *number `json:"db,omitempty"`
	Relative *number `json:"relative_db,omitempty"` // less what texture and register alone give
	Tension  number  `json:"tension"`
	Printed  number  `json:"printed"` // steps, ppp 1 to fff 8
}

// Judged is a verdict on a stretch.
type Judged struct {
	Onset    number `json:"onset"`
	End      number `json:"end"`
	Measures string `json:"measures"`
	Pass     int    `json:"pass"`
	Change   number `json:"db"`
	Verdict  string `json:"verdict"`
	Clear    bool   `json:"clear"`
}

// Hairpin is what became of a printed hairpin: followed, flat or contrary.
type Hairpin struct {
	Judged
	Kind  string `json:"kind"` // crescendo, diminuendo
	Part  int    `json:"part"`
	Notes int    `json:"notes"`
}

// Level is what became of a printed level where it changes at once: the loudness after
// it over that before it.
type Level struct {
	Judged
	At      string `json:"at"`
	Printed string `json:"printed"` // "p to f"
}

// Move is what was played while the harmony built or released tension: with it,
// against it, or flat.
type Move struct {
	Judged
	Harmony string `json:"harmony"` // builds, releases
	Page    string `json:"page"`    // grows, falls, stays
}

// Goal is where a phrase was loudest, beside where it is going.
type Goal struct {
	Onset   number `json:"onset"`
	End     number `json:"end"`
	Pass    int    `json:"pass"`
	Goal    string `json:"goal"`
	Loudest string `json:"loudest"`
	Above   number `json:"db"`
	Reached bool   `json:"reached"`
}

// Hands is how even alternating strokes were.
type Hands struct {
	Onset        number  `json:"onset"`
	End          number  `json:"end"`
	Measures     string  `json:"measures"`
	Pass         int     `json:"pass"`
	Strokes      int     `json:"strokes"`
	Level        *number `json:"db,omitempty"` // first hand over second; left out where it could be the pitch's
	Late         number  `json:"ms"`           // the second hand late
	LevelScatter number  `json:"db_scatter"`
	LateScatter  number  `json:"ms_scatter"`
}
