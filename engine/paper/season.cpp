#include <sstream>

#include "paper/paper.hpp"
#include "paper/picture.hpp"
#include "pictures/pictures.hpp"
#include "plan/rooms/load.hpp"

namespace budwood::paper {

namespace {

/// Rows of a season on a page, so that their words can be read at arm's length.
constexpr std::size_t rows_a_page = 22;

void write_page(Html& html, const std::string& svg, const std::string& words) {
  const auto whole = html.block("div", "whole");
  write_picture(html, svg, words);
}

}  // namespace

bool write_season(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                  PageSize size, std::optional<calendar::Day> today) {
  const std::string title = "The season of " + plan.book->site.name.value;
  const std::size_t rows = pictures::season_row_count(plan, filter);
  Page page(out, title, size, Page::Turn::landscape);
  if (rows == 0) {
    std::ostringstream empty;
    pictures::write_season(empty, plan, filter, today);
    write_page(page.html(), empty.str(), title);
    return false;
  }
  for (std::size_t first = 0; first < rows; first += rows_a_page) {
    std::ostringstream picture;
    pictures::write_season_rows(picture, plan, filter, today, first, rows_a_page);
    write_page(page.html(), picture.str(), title);
  }
  std::ostringstream load;
  pictures::write_load_picture(load, plan, plan::load_of(plan), filter);
  write_page(page.html(), load.str(), title + ": rooms and crews");
  return true;
}

}  // namespace budwood::paper
