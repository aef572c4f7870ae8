#pragma once

namespace budwood::book {

/// A sheet of labels as a printer takes it; lengths in metres. All labels are on the page.
struct LabelSheet {
  double page_width = 0, page_height = 0;
  int across = 1, down = 1;      ///< labels side by side, and below each other
  double width = 0, height = 0;  ///< of one label
  double top = 0, left = 0;      ///< margins before the first label
  double gap_across = 0, gap_down = 0;

  int labels() const { return across * down; }
};

}  // namespace budwood::book
