/// Counts and proportions: how many to start, how sure a plan is, what a count says about a rate.
/// What groups that share their luck say is in `spread/`, two techniques in `comparing/`.
///
/// Counts are whole numbers up to `largest_count`, shares and probabilities are from 0 to 1.
/// Arguments that make no sense give a NaN, or nothing where an optional is returned; nothing here
/// throws.
#pragma once

#include "statistics/assurance.hpp"
#include "statistics/beta_binomial.hpp"
#include "statistics/binomial.hpp"
#include "statistics/counts.hpp"
#include "statistics/differences.hpp"
#include "statistics/fisher.hpp"
#include "statistics/intervals.hpp"
#include "statistics/rate.hpp"
#include "statistics/sample_size.hpp"
