# Answers of R for generated data sets: an outside check of packages/core/src/trials.
# Run from the root of the repository: Rscript bench/trials-peer.R
# Needs R with jsonlite, lme4, lmerTest, multcomp (Debian: r-base-core r-cran-jsonlite r-cran-lme4 r-cran-lmertest r-cran-multcomp).
# Writes packages/core/src/trials/fixtures/peer.json and distributions.json, read by peer.test.ts and distributions.test.ts.
suppressPackageStartupMessages({library(jsonlite); library(lme4); library(lmerTest); library(multcomp)})
RNGversion("4.2.2"); set.seed(20250611)
folder <- "packages/core/src/trials/fixtures"
sets <- list()
keep <- function(x) sets[[length(sets) + 1]] <<- x

ols <- function(kind, data, formula, model, factors, blocks = NULL, at = NULL) {
  fit <- lm(formula, data)
  s <- summary(fit); h <- hatvalues(fit); e <- resid(fit)
  sst <- sum((data$y - mean(data$y))^2)
  answer <- list(estimate = unname(coef(fit)), se = unname(s$coefficients[, 2]), p = unname(s$coefficients[, 4]),
    names = names(coef(fit)), sigma = s$sigma, df = fit$df.residual, sse = sum(e^2), press = sum((e / (1 - h))^2),
    r2 = 1 - sum(e^2) / sst, leverage = unname(h), studentised = unname(rstudent(fit)), cook = unname(cooks.distance(fit)))
  if (!is.null(at)) {
    mean <- predict(fit, at, interval = "confidence"); single <- predict(fit, at, interval = "prediction")
    answer$at <- at; answer$mean <- unname(mean); answer$single <- unname(single)
  }
  keep(list(kind = kind, model = model, factors = factors, blocks = blocks, data = data, r = answer))
}

for (i in 1:20) { # two amounts, quadratic, with or without a block
  n <- sample(10:24, 1); d <- data.frame(a = round(runif(n, 20, 60), 1), b = round(runif(n, 150, 190), 0))
  d$y <- round(30 + .2 * d$a - .01 * (d$b - 170)^2 + .003 * d$a * d$b + rnorm(n), 3)
  at <- data.frame(a = c(30, 45), b = c(165, 180))
  if (i %% 2 == 0) ols("amounts", d, y ~ a + b + a:b + I(a^2) + I(b^2), list(model = "quadratic"), c("a", "b"), at = at)
  else {
    d$day <- rep(c("mon", "tue", "wed"), length.out = n); d$y <- d$y + c(mon = 0, tue = 1, wed = -1)[d$day]
    ols("amounts", d, y ~ day + a + b + a:b, list(model = "interaction"), c("a", "b"), blocks = "day")
  }
}
for (i in 1:25) { # blends, Scheffe
  q <- sample(3:5, 1); n <- sample((q * (q + 1) / 2 + 4):30, 1)
  x <- matrix(rexp(n * q), n); x <- x / rowSums(x)
  x <- round(x * 64) ; x[, q] <- 64 - rowSums(x[, -q, drop = FALSE]); x <- x / 64   # shares exact in binary
  d <- as.data.frame(x); names(d) <- paste0("x", 1:q)
  d$y <- round(as.vector(x %*% runif(q, 5, 20)) + 15 * x[, 1] * x[, 2] + rnorm(n, 0, .4), 3)
  linear <- paste(names(d)[1:q], collapse = " + ")
  if (i %% 2 == 0) ols("blend", d, as.formula(paste("y ~ 0 +", linear)), list(model = "scheffe linear"), paste0("x", 1:q))
  else {
    pairs <- combn(paste0("x", 1:q), 2, paste, collapse = ":")
    ols("blend", d, as.formula(paste("y ~ 0 +", linear, "+", paste(pairs, collapse = " + "))), list(model = "scheffe quadratic"), paste0("x", 1:q),
      at = as.data.frame(t(setNames(rep(1 / q, q), paste0("x", 1:q)))))
  }
}
for (i in 1:10) { # choice and amount with interaction
  n <- sample(12:24, 1); d <- data.frame(tin = rep(c("dark", "light", "silicone"), length.out = n), m = round(runif(n, 20, 40), 1))
  d$y <- round(5 + .3 * d$m + c(dark = 1, light = 0, silicone = -2)[d$tin] + rnorm(n, 0, .5), 3)
  ols("choice", d, y ~ tin + m + tin:m, list(model = "interaction"), c("tin", "m"))
}
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 2e-2, rhoend = 1e-11, maxfun = 1e5), check.conv.singular = "ignore")
while (sum(vapply(sets, function(s) s$kind == "reml", TRUE)) < 25) { # split plots, unbalanced by losing runs
  i <- length(sets)
  batters <- sample(6:9, 1); d <- expand.grid(temp = c(160, 170, 180), batter = seq_len(batters))
  d$day <- (d$batter - 1) %/% 3; d$recipe <- c("old", "new")[1 + d$batter %% 2]
  d$y <- round(40 + .1 * (d$temp - 170) + ifelse(d$recipe == "new", 2, 0) + rnorm(batters, 0, 2)[d$batter] + rnorm(nrow(d)), 3)
  d <- d[sort(sample(nrow(d), nrow(d) - sample(0:3, 1))), ]
  fit <- lmerTest::lmer(y ~ recipe * temp + (1 | batter), d, control = tight)
  if (isSingular(fit, tol = 1e-3)) next
  s <- summary(fit); v <- as.data.frame(VarCorr(fit)); a <- anova(fit, type = 3)
  keep(list(kind = "reml", data = d, r = list(estimate = unname(s$coefficients[, 1]), se = unname(s$coefficients[, 2]), df = unname(s$coefficients[, 3]),
    variances = v$vcov, criterion = as.numeric(REMLcrit(fit)))))
}
for (i in 1:10) { # Tukey and Dunnett
  k <- sample(3:5, 1); sizes <- sample(3:7, k, replace = TRUE); g <- factor(rep(LETTERS[1:k], sizes))
  d <- data.frame(group = as.character(g), y = round(20 + as.integer(g) * .6 + rnorm(length(g)), 3)); fit <- aov(y ~ g, data = cbind(d, g = g))
  tk <- TukeyHSD(fit)$g
  dn <- summary(glht(fit, linfct = mcp(g = "Dunnett")), test = adjusted(abseps = 1e-8, maxpts = 5e5))
  keep(list(kind = "groups", data = d, r = list(f = summary(fit)[[1]][1, 4], p = summary(fit)[[1]][1, 5], tukey = unname(tk), dunnett_p = unname(as.numeric(dn$test$pvalues)))))
}
for (i in 1:10) { # paired, Welch, Friedman
  n <- sample(5:12, 1); a <- round(rnorm(n, 40, 3), 2); b <- round(a + rnorm(n, 1, 1), 2); cc <- round(rnorm(n + 2, 41, 5), 2)
  w <- t.test(cc, a); pr <- t.test(b, a, paired = TRUE)
  ranks <- t(replicate(n, rank(sample(c(1, 2, 3, 4, 4), 5)))); fr <- friedman.test(ranks)
  keep(list(kind = "pairs", a = a, b = b, c = cc, ranks = ranks, r = list(welch = c(w$estimate[1] - w$estimate[2], w$parameter, w$p.value, w$conf.int),
    paired = c(pr$estimate, pr$parameter, pr$p.value, pr$conf.int), friedman = c(fr$statistic, fr$p.value))))
}
write(toJSON(list(made_by = paste(R.version.string, "lme4", packageVersion("lme4"), "lmerTest", packageVersion("lmerTest"), "multcomp", packageVersion("multcomp")),
  sets = sets), digits = NA, auto_unbox = TRUE), file.path(folder, "peer.json"))

rows <- list()
add <- function(name, f, ...) { g <- expand.grid(...); for (i in seq_len(nrow(g))) rows[[length(rows) + 1]] <<- list(name = name, args = unname(as.list(g[i, ])), value = do.call(f, unname(as.list(g[i, ])))) }
add("normalUpper", function(z) pnorm(z, lower.tail = FALSE), c(-8, -3, -.6, -.01, 0, .3, .675, 1, 2.5, 5, 5.7, 8, 20))
add("normalQuantile", qnorm, c(1e-12, 1e-4, .01, .3, .5, .8, .975, .99999))
add("tUpper", function(t, df) pt(t, df, lower.tail = FALSE), c(-3, -.2, .5, 2, 6, 40), c(1, 2.5, 9, 60, 1000))
add("tQuantile", qt, c(.001, .3, .9, .975, .9995), c(1, 2.5, 9, 60, 1000))
add("fUpper", function(f, a, b) pf(f, a, b, lower.tail = FALSE), c(.2, 1, 4, 50), c(1, 3, 20), c(2, 9, 210))
add("fQuantile", qf, c(.05, .5, .95, .99), c(1, 3, 20), c(2, 9, 210))
add("chiSquareUpper", function(x, df) pchisq(x, df, lower.tail = FALSE), c(.1, 2, 11, 80), c(1, 4, 30))
add("chiSquareQuantile", qchisq, c(.01, .5, .95, .999), c(1, 4, 30))
add("betaQuantile", qbeta, c(.025, .5, .975), c(1, 8, 40), c(1, 5, 60))
add("binomialAtLeast", function(k, n, p) pbinom(k - 1, n, p, lower.tail = FALSE), c(0, 3, 12, 19), c(20, 60), c(1 / 3, .5))
add("noncentralTUpper", function(t, df, d) pt(t, df, d, lower.tail = FALSE), c(-1, 0, 2, 5), c(3, 12, 60), c(-1, .5, 3))
add("noncentralFUpper", function(f, a, b, l) pf(f, a, b, l, lower.tail = FALSE), c(1, 4), c(1, 4), c(6, 40), c(.5, 9, 40))
add("studentisedRangeUpper", function(q, k, df) ptukey(q, k, df, lower.tail = FALSE), c(1, 3, 5), c(2, 4, 8), c(5, 20, 100))
add("studentisedRangeQuantile", function(p, k, df) qtukey(p, k, df), c(.9, .95, .99), c(2, 4, 8), c(5, 20, 100))
write(toJSON(list(made_by = R.version.string, rows = rows), digits = NA, auto_unbox = TRUE), file.path(folder, "distributions.json"))
