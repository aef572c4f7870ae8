#include <archive.h>
#include <archive_entry.h>
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "../report/sample_plan.hpp"
#include "office/workbooks/grid.hpp"
#include "office/workbooks/whole.hpp"
#include "parts.hpp"

using namespace budwood;
using office::SheetFacts;

namespace {

using office::test::Part;
using office::test::parts_of;

std::string archive_of(const std::vector<Part>& parts) {
  std::vector<char> out(8U << 20U);
  std::size_t used = 0;
  archive* writer = archive_write_new();
  archive_write_set_format_zip(writer);
  archive_write_open_memory(writer, out.data(), out.size(), &used);
  for (const Part& part : parts) {
    archive_entry* entry = archive_entry_new();
    archive_entry_set_pathname(entry, part.name.c_str());
    archive_entry_set_filetype(entry, AE_IFREG);
    archive_entry_set_size(entry, static_cast<la_int64_t>(part.content.size()));
    archive_write_header(writer, entry);
    archive_write_data(writer, part.content.data(), part.content.size());
    archive_entry_free(entry);
  }
  archive_write_close(writer);
  archive_write_free(writer);
  return {out.data(), used};
}

}  // namespace

TEST_CASE("a workbook of which a piece was lost on the way is found out, whichever piece it is") {
  report::test::SamplePlan sample;
  office::WorkbookFile file(sample.plan());
  office::Grid& grid = file.add("One", {{"Text"}, {"Number", office::Show::number}});
  SheetFacts facts{2, 10};  // the heads
  const std::string word = "äöü <&> ";
  for (int i = 0; i < 400; ++i) {
    const std::string text = word + std::string(i == 200 ? 20'000 : 5, 'x') + std::to_string(i);
    grid.text(text).number(i * 1.25).end_row();
    facts.cells += 2;
    facts.text += text.size();
  }
  const office::Workbook made = file.finish(400);
  REQUIRE(made.problem.empty());
  CHECK(office::missing_in(made.bytes, {facts}).empty());
  CHECK_FALSE(office::missing_in(made.bytes, {facts, {1, 1}}).empty());

  const std::vector<Part> whole = parts_of(made.bytes);
  CHECK(office::missing_in(archive_of(whole), {facts}).empty());
  constexpr std::size_t block = 4096;  // what a file that is buffered is written in
  std::size_t tried = 0;
  for (std::size_t i = 0; i < whole.size(); ++i) {
    for (std::size_t at = 0; at < whole[i].content.size(); at += block) {
      std::vector<Part> less = whole;
      less[i].content.erase(at, block);
      CAPTURE(less[i].name);
      CAPTURE(at);
      CHECK_FALSE(office::missing_in(archive_of(less), {facts}).empty());
      ++tried;
    }
  }
  CHECK(tried > 15);
  CHECK_FALSE(office::missing_in(made.bytes.substr(0, made.bytes.size() / 2), {facts}).empty());
  CHECK_FALSE(office::missing_in("", {facts}).empty());
}
