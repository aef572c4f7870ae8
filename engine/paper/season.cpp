#include <sstream>

#include "paper/paper.hpp"
#include "paper/picture.hpp"
#include "pictures/pictures.hpp"

namespace budwood::paper {

bool write_season(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                  PageSize size, std::optional<calendar::Day> today) {
  const std::string& site = plan.book->site.name.value;
  std::ostringstream picture;
  const bool found = pictures::write_season(picture, plan, filter, today);
  Page page(out, "The season of " + site, size, Page::Turn::landscape);
  const auto whole = page.html().block("div", "whole");
  write_picture(page.html(), picture.str(), "The season of " + site);
  return found;
}

}  // namespace budwood::paper
