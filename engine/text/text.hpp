/// Source text, places in it, and what is wrong with it.
///
/// Every reader of user text (protocols, YAML, CSV) reports through `Diagnostics`; nothing that a
/// user can type is answered by an exception. `print` is the one place where a diagnostic becomes
/// lines on a screen.
#pragma once

#include "text/diagnostic.hpp"
#include "text/source.hpp"
#include "text/suggest.hpp"
#include "text/terminal.hpp"
