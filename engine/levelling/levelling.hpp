/// Bringing work under limited capacity: days for many things that share rooms and people.
#pragma once

#include "levelling/pieces/improve.hpp"
#include "levelling/pieces/solve.hpp"
#include "levelling/problem.hpp"
#include "levelling/search/search.hpp"
#include "levelling/season/season.hpp"
