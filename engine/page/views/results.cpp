#include <sstream>

#include "page/views/views.hpp"
#include "pictures/pictures.hpp"
#include "record/line.hpp"
#include "report/results/compared_report.hpp"
#include "report/results/learned_report.hpp"
#include "report/results/results_report.hpp"
#include "results/compare.hpp"
#include "results/learn.hpp"

namespace budwood::page {

namespace {

results::Question asked_of(const Question& question) {
  results::Question out;
  out.of = results::find_of(question["of"]).value_or(results::Of::take);
  out.by = results::find_by(question["by"]).value_or(results::By::batch);
  return out;
}

std::vector<results::Asked> the_book(const Snapshot& now) {
  return {{now.book->site.name.value, &now.plan}};
}

Json lessons_of(const Snapshot& now) {
  Json out = Json::array();
  for (const record::Entry& entry : now.book->history) {
    if (entry.what != record::What::lesson) continue;
    out.push_back({{"day", calendar::iso_date(entry.day)},
                   {"place", record::whole_place(entry)},
                   {"by", entry.by},
                   {"words", entry.words}});
  }
  return out;
}

Json compared_json(const std::vector<results::Asked>& books, const results::Question& asked,
                   const Question& question) {
  Json out = Json::array();
  if (question["first"].empty() || question["second"].empty()) return out;
  for (const results::Compared& one :
       results::compare(books, asked, {{question["first"], question["second"]}})) {
    out.push_back(
        {{"title", one.title}, {"answer", report::answer(one)}, {"grounds", report::grounds(one)}});
  }
  return out;
}

}  // namespace

Json results_view(const Snapshot& now, const Question& question) {
  const auto books = the_book(now);
  const results::Question asked = asked_of(question);
  const std::string misuse = results::misuse_of(asked);
  Json out = {{"of", results::word(asked.of)},
              {"by", results::word(asked.by)},
              {"all_of", results::of_words()},
              {"all_by", results::by_words()},
              {"misuse", misuse}};
  if (!misuse.empty()) return out;
  const results::Summary summary = results::summarise(books, asked);
  Json rows = Json::array();
  for (const results::Row& row : summary.rows) {
    rows.push_back(
        {{"group", row.group},
         {"protocol", row.protocol},
         {"title", row.title},
         {"units", row.units},
         {"amount", number_json(row.amount)},
         {"result", number_json(row.result)},
         {"value", report::result_text(row.value, asked.of)},
         {"interval", report::interval_text(row.interval, asked.of)},
         {"usual", row.usual ? Json(report::result_text(*row.usual, asked.of)) : Json()}});
  }
  std::ostringstream learned;
  report::Style style;
  report::write_learned(learned, results::learn(books), report::Format::table, style);
  out["name"] = report::result_name(asked.of);
  out["note"] = report::results_note(summary);
  out["rows"] = std::move(rows);
  out["groups"] = results::groups_with_counts(books, asked);
  out["compared"] = compared_json(books, asked, question);
  out["learned"] = learned.str();
  out["lessons"] = lessons_of(now);
  return out;
}

bool results_picture(std::ostream& out, const Snapshot& now, const Question& question) {
  const results::Question asked = asked_of(question);
  if (!results::misuse_of(asked).empty()) return false;
  return pictures::write_results_picture(out, results::summarise(the_book(now), asked));
}

}  // namespace budwood::page
