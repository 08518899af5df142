// Package verdict lays the printed levels over the harmony's tension and says
// where the page supports the harmony, works against it, or is silent.
//
// Start at [Judge], which gives the [Verdict]s in order of time: on stretches,
// accents, peaks, phrase ends and contrasts.
//
// [Over] judges any one stretch. The page is read for the loudest that sound
// (page.Page.Over). What the harmony does is told by a [Model] fitted on rows that
// two readers labelled: [Chances] from the chords at both ends and between, the
// course of tension, the bass, the cadence and the page. Sudden changes are
// neither growth nor decline.
//
// A verdict's Confidence is how often such verdicts were right on scores left out
// of the fit, seen from the careful side: from .85 sure, from .6 likely
// (tonal.CertaintyOf). Its [Ground]s say what it comes from; testdata/README.md
// has the figures.
//
// # Conventions
//
// Levels are steps as in package page, tension is 0 to 100 as in package
// harmony, times are ticks of the score, stretches include their start and not
// their end. A verdict is data: its sentence is made where it is told. To work
// against the harmony is no mistake: composers print it on purpose.
package verdict
