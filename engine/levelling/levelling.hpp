/// Bringing work under limited capacity: days for many things that share rooms and people.
#pragma once

#include "levelling/improve.hpp"
#include "levelling/problem.hpp"
#include "levelling/season.hpp"
#include "levelling/search.hpp"
#include "levelling/solve.hpp"
