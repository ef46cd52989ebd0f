# What R says of the tables in the folder named: lines of "name value value ..." for r_reference_test.cpp.
suppressMessages(library(survival))
folder <- commandArgs(trailingOnly = TRUE)[1]
say <- function(name, ...) cat(name, format(c(...), digits = 15), "\n")
table_of <- function(name) read.csv(file.path(folder, name))

# Clopper and Pearson, two-sided and from one side.
for (row in split(b <- table_of("binomial.csv"), seq_len(nrow(b)))) {
  both <- binom.test(row$bad, row$checked, conf.level = row$confidence)$conf.int
  one <- binom.test(row$bad, row$checked, alternative = "less", conf.level = row$confidence)$conf.int[2]
  say("binomial", both, one)
}

# Weibull lives: survreg, and profiles of its log likelihood.
weibull <- function(name, surv) {
  fit <- survreg(surv ~ 1, dist = "weibull")
  shape <- 1 / fit$scale
  drop <- qchisq(0.95, 1) / 2
  at_shape <- function(b) survreg(surv ~ 1, dist = "weibull", scale = 1 / b)$loglik[1]
  end <- function(low, high) uniroot(function(b) fit$loglik[1] - at_shape(b) - drop, c(low, high), tol = 1e-10)$root
  say(name, shape, exp(coef(fit)), fit$loglik[1], end(shape / 6, shape), end(shape, shape * 6))
}
lives <- table_of("lives.csv")
weibull("right_censored", Surv(lives$time, lives$failed))
between <- table_of("between.csv")
weibull("interval_censored", Surv(ifelse(between$low == 0, NA, between$low), between$high, type = "interval2"))
# B10 of the first: the profile with B10 held, the shape at its best.
density <- function(b, t10) {
  scale <- t10 / (-log(0.9))^(1 / b)
  sum(dweibull(lives$time[lives$failed == 1], b, scale, log = TRUE)) +
    sum(pweibull(lives$time[lives$failed == 0], b, scale, lower.tail = FALSE, log.p = TRUE))
}
profile <- function(log_t10) optimize(density, c(0.05, 30), t10 = exp(log_t10), maximum = TRUE, tol = 1e-10)$objective
best <- optimize(profile, log(range(lives$time)) + c(-4, 0), maximum = TRUE, tol = 1e-10)
fall <- function(x) best$objective - profile(x) - qchisq(0.95, 1) / 2
say("b10", exp(best$maximum), exp(uniroot(fall, c(best$maximum - 4, best$maximum), tol = 1e-10)$root),
    exp(uniroot(fall, c(best$maximum, best$maximum + 4), tol = 1e-10)$root))
# Do two groups live equally long?
first <- survreg(Surv(time, failed) ~ 1, data = lives[lives$group == "N", ])
second <- survreg(Surv(time, failed) ~ 1, data = lives[lives$group == "S", ])
together <- survreg(Surv(time, failed) ~ 1, data = lives)
say("groups", pchisq(2 * (first$loglik[1] + second$loglik[1] - together$loglik[1]), 2, lower.tail = FALSE))

# A weighted line, and the interval of one more reading.
depths <- table_of("depths.csv")
plain <- lm(depth ~ shots, depths)
say("line", coef(plain), summary(plain)$coefficients[, 2], summary(plain)$sigma, summary(plain)$r.squared)
say("prediction", predict(plain, data.frame(shots = 40000), interval = "prediction", level = 0.9))
weighted <- lm(depth ~ shots, depths, weights = 1 / u95^2)
say("weighted", coef(weighted), summary(weighted)$coefficients[, 2], summary(weighted)$sigma, summary(weighted)$r.squared)
# Where the plain line may cross 0.3 mm: Fieller's 5 % and 95 %, from one side each.
reach <- function(x, share) {
  p <- predict(plain, data.frame(shots = x), se.fit = TRUE)
  (0.3 - p$fit) / p$se.fit - qt(share, p$df)
}
last <- max(depths$shots)
crossing <- function(share) uniroot(reach, c(last, last * 20), share = share, tol = 1e-6)$root - last
say("crossing", crossing(0.95), crossing(0.5), crossing(0.05))

# Two-way analysis of variance.
gauge <- table_of("gauge.csv")
anova <- summary(aov(value ~ factor(part) * factor(person), gauge))[[1]]
say("anova", anova[["Sum Sq"]], anova[["Pr(>F)"]][3])

# Anderson and Darling by their definition.
weights <- sort(table_of("weights.csv")$value)
n <- length(weights)
z <- (weights - mean(weights)) / sd(weights)
say("normality", -n - mean((2 * seq_len(n) - 1) * (pnorm(z, log.p = TRUE) + pnorm(rev(z), lower.tail = FALSE, log.p = TRUE))))

# Tolerance factors: noncentral t, and the chance over the mean by R's own quadrature.
held <- function(k, n, p) {
  r <- function(z) uniroot(function(r) pnorm(z + r) - pnorm(z - r) - p, c(0, 40), tol = 1e-12)$root
  chance <- function(z) pchisq((n - 1) * sapply(z / sqrt(n), r)^2 / k^2, n - 1, lower.tail = FALSE) * dnorm(z)
  2 * integrate(chance, 0, 8, rel.tol = 1e-10)$value
}
for (n in c(3, 8, 30))
  say("tolerance", uniroot(function(k) held(k, n, 0.9) - 0.95, c(1, 40), tol = 1e-10)$root,
      qt(0.95, n - 1, qnorm(0.9) * sqrt(n)) / sqrt(n))

# Mean run length of an EWMA by a chain of states instead of an integral equation; the error falls with the
# square of the states' width, so two chains tell where it goes (Richardson).
chain <- function(lambda, width, shift, states) {
  limit <- width * sqrt(lambda / (2 - lambda))
  w <- 2 * limit / states
  at <- -limit + w * (seq_len(states) - 0.5)
  up <- outer(at, at, function(from, to) pnorm((to + w / 2 - (1 - lambda) * from) / lambda - shift))
  down <- outer(at, at, function(from, to) pnorm((to - w / 2 - (1 - lambda) * from) / lambda - shift))
  solve(diag(states) - (up - down), rep(1, states))[(states + 1) / 2]
}
ewma <- function(lambda, width, shift)
  chain(lambda, width, shift, 601) + (chain(lambda, width, shift, 601) - chain(lambda, width, shift, 301)) / ((601 / 301)^2 - 1)
say("ewma", ewma(0.2, 2.962, 0), ewma(0.2, 2.962, 1))

# Charts of counts and of bad fractions: centre by R's own models, sigma and run length by summing up the
# distribution itself instead of its formula.
around <- function(count, probability, scale) {
  mean <- sum(count * probability)
  sd <- sqrt(sum((count - mean)^2 * probability))
  inside <- count >= mean - 3 * sd - 1e-9 & count <= mean + 3 * sd + 1e-9
  c(mean, max(mean - 3 * sd, 0), mean + 3 * sd, 1 / (1 - sum(probability[inside]))) / c(scale, scale, scale, 1)
}
counts <- table_of("counts.csv")
level <- exp(coef(glm(defects ~ 1, poisson, counts, epsilon = 1e-14)))
say("counts", around(0:1000, dpois(0:1000, level), 1))
share <- plogis(coef(glm(cbind(bad, 50 - bad) ~ 1, binomial, table_of("fractions.csv"), epsilon = 1e-14)))
say("fractions", around(0:50, dbinom(0:50, 50, share), 50))
