#include "paper/listing.hpp"

namespace budwood::paper {

void write_listing(Html& html, std::string_view title, const std::vector<std::string>& columns,
                   const std::vector<std::vector<std::string>>& rows) {
  if (rows.empty()) return;
  html.text("h2", {}, title);
  const auto table = html.block("table", "plain listing");
  {
    const auto head = html.open("thead");
    const auto row = html.open("tr");
    for (const std::string& column : columns) html.text("th", {}, column);
  }
  const auto body = html.open("tbody");
  for (const std::vector<std::string>& cells : rows) {
    const auto row = html.open("tr");
    for (const std::string& cell : cells) html.said("td", {}, cell);
  }
}

}  // namespace budwood::paper
