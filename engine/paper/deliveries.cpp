#include "paper/listing.hpp"
#include "paper/paper.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/delivery_words.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

namespace {

/// A line to be ticked off when it is ordered, and once more when it is there.
void write_line(Html& html, const report::ListedDelivery& line) {
  const plan::Delivery& one = *line.delivery;
  const auto row = html.open("tr");
  html.text("td", "day-of", report::order_by_text(one));
  html.said("td", "name", report::shown_name(*line.need));
  html.said("td", "name", report::bought_text(*line.need, one));
  html.text("td", "number", one.cost ? report::money_text(*one.cost) : "-");
  html.text("td", "day-of", report::short_date(one.arrives()));
  html.text("td", "day-of", report::short_date(one.last));
  for (int box = 0; box < 2; ++box) {
    const auto cell = html.open("td");
    const auto place = html.block("span", "box small");
  }
}

void write_supplier(Html& html, const plan::Plan& plan,
                    const std::vector<report::ListedDelivery>& lines) {
  {
    const auto heading = html.open("h2");
    html.said("From " + report::supplier_text(*lines.front().delivery));
  }
  const auto table = html.block("table", "plain");
  {
    const auto head = html.open("thead");
    const auto row = html.open("tr");
    for (const std::string& title :
         {std::string("Order by"), std::string("What"), std::string("How much"),
          report::with_currency("Cost", plan), std::string("Arrives"), std::string("Lasts until"),
          std::string("Ordered"), std::string("Came")}) {
      html.text("th", "day-of", title);
    }
  }
  const auto body = html.open("tbody");
  for (const report::ListedDelivery& line : lines) write_line(html, line);
}

}  // namespace

std::size_t write_deliveries(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                             PageSize size) {
  const std::vector<report::ListedDelivery> all = report::deliveries_by_supplier(needs);
  Page page(out, "Shopping list of " + plan.book->site.name.value, size);
  Html& html = page.html();
  {
    const auto line = html.block("div", "head");
    html.text("h1", "what", "Shopping list");
    html.said("div", "site", plan.book->site.name.value);
  }
  if (all.empty()) html.text("p", {}, "Nothing has to be bought.");
  for (std::size_t first = 0; first < all.size();) {
    std::size_t end = first;
    const std::string& supplier = all[first].delivery->supplier;
    while (end < all.size() && all[end].delivery->supplier == supplier) ++end;
    write_supplier(html, plan,
                   {all.begin() + static_cast<std::ptrdiff_t>(first),
                    all.begin() + static_cast<std::ptrdiff_t>(end)});
    first = end;
  }
  for (const std::string& note : report::delivery_notes(plan, needs)) html.said("p", "under", note);
  return all.size();
}

}  // namespace budwood::paper
