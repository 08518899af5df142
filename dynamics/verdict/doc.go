// Package verdict lays the printed levels over the harmony's tension and says
// where the page supports the harmony, works against it, or is silent.
//
// Start at [Judge], which gives the [Verdict]s in order of time: on stretches,
// accents, peaks, phrase ends and contrasts.
//
// # Conventions
//
// Levels are steps as in package page, tension is 0 to 100 as in package
// harmony, times are ticks of the score, stretches include their start and not
// their end. A verdict is data: its sentence is made where it is told. To work
// against the harmony is no mistake: composers print it on purpose.
package verdict
