// Package survey reads many scores and sums each up in a row.
//
// Start at [Survey]; its Run calls back with a [Row] for every score, and a
// [Writer] writes them.
//
// # Conventions
//
// Shares are percent of the time that has a verdict. A score that cannot be
// used is a row with its reason and no numbers.
package survey
