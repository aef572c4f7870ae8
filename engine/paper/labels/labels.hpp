/// Labels are boxes in boxes: an `svg` in an `svg` cuts off what does not fit, whatever font
/// the printer has. Text is fitted with the widths of a wide one before.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "report/formats/filter.hpp"

/// Labels for batches and trays, on sheets of labels.
namespace budwood::paper {

enum class LabelKind { batches, trays, pots };

/// What stands on one label.
struct Label {
  std::string code;     ///< in the QR code, and in small letters: the id of a batch or order
  std::string name;     ///< what people call out: the batch, and which tray
  std::string heading;  ///< what grows: crop and cultivar
  std::vector<std::string> lines;  ///< the most important ones first
};

/// Labels of the batches that pass the filter, a label each, of an arm of a trial one for each of
/// its trays; or of the trays, crates and the like
/// that their work orders take, or of the pots, a label each, by date. `refused` names batches
/// whose protocols count nothing of that kind.
std::vector<Label> labels_of(const plan::Plan& plan, const report::Filter& filter, LabelKind kind,
                             std::vector<std::string>* refused = nullptr);

/// The sheet that is used where a site names none: A4, three labels across, eight down.
book::LabelSheet usual_label_sheet();

/// How labels are laid out on sheets.
struct LabelPages {
  book::LabelSheet sheet;
  std::size_t skip = 0;  ///< labels that are gone from the first sheet; less than a sheet has
};

/// How many sheets these labels take.
std::size_t sheets_of(std::size_t labels, const LabelPages& pages);

/// One page a sheet, to be printed at its real size.
void write_labels_html(std::ostream& out, const std::vector<Label>& labels,
                       const LabelPages& pages);

/// One sheet of them, from 1, as SVG.
void write_labels_svg(std::ostream& out, const std::vector<Label>& labels, const LabelPages& pages,
                      std::size_t number);

}  // namespace budwood::paper
