/// Bringing work under limited capacity: days for many things that share rooms and people.
///
/// Levelling knows neither protocols nor books: days, bonds, amounts and costs (`problem.hpp`),
/// so that the same core levels a season and is run on open benchmark networks. `broken()`
/// judges schedules from the definitions alone. A batch touches others only through capacity,
/// so a season is placed batch by batch and improved by taking out a few that stand in each
/// other's way and placing them anew (Shaw 1998). Where much is late all batches move together: by
/// prices of rooms and hands, which also prove how late they must be (Fisher 1981), and by what is
/// crowded (McMurchie & Ebeling 1995). Up to some hundred dates there is a complete search that
/// learns from conflicts (Schutt, Feydy, Stuckey & Wallace 2013). Rounds, not seconds, are the
/// usual limit, so that the same problem gives the same dates.
#pragma once

#include "levelling/pieces/improve.hpp"
#include "levelling/pieces/solve.hpp"
#include "levelling/problem.hpp"
#include "levelling/search/search.hpp"
#include "levelling/season/season.hpp"
