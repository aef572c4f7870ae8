/// The sheet: a protocol compiled into cells, and batches as rows of them.
///
///   Protocol --compile--> Template --add batches, evaluate--> Sheet --all of a site--> SiteSheets
///
/// A template is made once for a protocol. Each cell is a column of plain doubles in base units
/// (dates are day numbers, truth is 1 or 0); a NaN is "no value" and travels to what rests on it.
/// `SiteSheets` takes edits, works out again what rests on them, keeps the totals of each day right,
/// tells who listens, and takes edits back.
#pragma once

#include "sheet/cell_names.hpp"
#include "sheet/compile.hpp"
#include "sheet/date_reasons.hpp"
#include "sheet/date_bonds.hpp"
#include "sheet/dates.hpp"
#include "sheet/given.hpp"
#include "sheet/protocol_sheet.hpp"
#include "sheet/requirements.hpp"
#include "sheet/shown.hpp"
#include "sheet/site.hpp"
#include "sheet/site_sheets.hpp"
#include "sheet/stage_climate.hpp"
#include "sheet/template.hpp"
#include "sheet/trial.hpp"
