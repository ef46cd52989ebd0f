# The posterior of each fault by its definition: the weight of every set of faults, summed. Reads the tables of
# diagnosis_r_test.cpp in the folder named; prints "case evidence posterior posterior ..." line by line. Base R alone.
folder <- commandArgs(trailingOnly = TRUE)[1]
table_of <- function(name) read.csv(file.path(folder, name))
priors <- table_of("priors.csv")$prior
leaks <- table_of("leaks.csv")$leak
links <- table_of("links.csv")
cases <- table_of("cases.csv")

strength <- matrix(0, length(priors), length(leaks))
strength[cbind(links$fault, links$finding)] <- links$strength

for (case in split(cases, cases$case)) {
  # A fault that brings nothing of what was looked for keeps its prior.
  asked <- which(rowSums(strength[, case$finding, drop = FALSE]) > 0)
  sets <- as.matrix(expand.grid(rep(list(c(FALSE, TRUE)), length(asked))))
  weight <- rep(1, nrow(sets))
  for (k in seq_along(asked))
    weight <- weight * ifelse(sets[, k], priors[asked[k]], 1 - priors[asked[k]])
  for (row in seq_len(nrow(case))) {
    finding <- case$finding[row]
    silent <- rep(1 - leaks[finding], nrow(sets))
    for (k in seq_along(asked))
      silent <- silent * ifelse(sets[, k], 1 - strength[asked[k], finding], 1)
    weight <- weight * if (case$seen[row] == 1) 1 - silent else silent
  }
  posterior <- priors
  for (k in seq_along(asked)) posterior[asked[k]] <- sum(weight[sets[, k]]) / sum(weight)
  cat(case$case[1], format(c(sum(weight), posterior), digits = 15), "\n")
}
