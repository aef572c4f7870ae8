/// Sharing: protocols that travel between sites, and what changed between two editions.
#pragma once

#include "share/compare.hpp"
#include "share/editions.hpp"
#include "share/pack.hpp"
#include "share/signature.hpp"
#include "share/unpack.hpp"
