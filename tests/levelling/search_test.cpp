#include <doctest/doctest.h>

#include "levelling/levelling.hpp"
