module hairpin

go 1.26
