#include <doctest/doctest.h>

#include "book/site/site.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;

TEST_CASE("a sheet of labels is read in millimetres, centimetres or inches") {
  const Site site = site_of(
      "labels: {page: A4, across: 3, down: 8, width: 63.5 mm, height: 3.39 cm, top: 0.5 in,\n"
      "         left: 7.2 mm, gap_across: 2.5 mm}\n");
  REQUIRE(site.labels.has_value());
  CHECK(site.labels->page_width == doctest::Approx(0.210));
  CHECK(site.labels->page_height == doctest::Approx(0.297));
  CHECK(site.labels->labels() == 24);
  CHECK(site.labels->width == doctest::Approx(0.0635));
  CHECK(site.labels->height == doctest::Approx(0.0339));
  CHECK(site.labels->top == doctest::Approx(0.0127));
  CHECK(site.labels->left == doctest::Approx(0.0072));
  CHECK(site.labels->gap_across == doctest::Approx(0.0025));
  CHECK(site.labels->gap_down == 0);
}

TEST_CASE("labels without margins stand in the middle of the page") {
  const Site site =
      site_of("labels: {page: letter, across: 2, down: 5, width: 4 in, height: 2 in}\n");
  REQUIRE(site.labels.has_value());
  // Letter is 8.5 in by 11 in: half an inch is left over across, one down.
  CHECK(site.labels->left == doctest::Approx(0.25 * 0.0254));
  CHECK(site.labels->top == doctest::Approx(0.5 * 0.0254));
}

TEST_CASE("a page may be of any size") {
  const Site site = site_of(
      "labels: {page: [100 mm, 62 mm], across: 1, down: 1, width: 100 mm, height: 62 mm}\n");
  REQUIRE(site.labels.has_value());
  CHECK(site.labels->page_width == doctest::Approx(0.1));
  CHECK(site.labels->top == 0);
}

TEST_CASE("sizes on packages are rounded: a twentieth of a millimetre is no mistake") {
  CHECK(site_of("labels: {page: A4, across: 3, down: 1, width: 70.01 mm, height: 30 mm}\n").labels);
}

TEST_CASE("every mistake in a sheet of labels is named at its place") {
  struct Mistake {
    const char* lines;
    const char* problem;
  };
  const Mistake mistakes[] = {
      {"labels: {page: A4, across: 4, down: 8, width: 63.5 mm, height: 33.9 mm}\n",
       "site.yaml:2:9 error out-of-range The labels do not fit on the page: 4 labels across take "
       "254 mm, and the page has 210 mm. That is 44 mm too much. Measure label, gap and margin "
       "again, or write fewer labels `across`."},
      {"labels: {page: A4, across: 3, down: 8, width: 63.5 mm, height: 33.9 mm, top: 30 mm}\n",
       "site.yaml:2:78 error out-of-range The labels do not fit on the page: 8 labels down take "
       "271.2 mm after a margin of 30 mm, and the page has 297 mm. That is 4.2 mm too much. "
       "Measure "
       "label, gap and margin again, or write fewer labels `down`."},
      {"labels: {page: A3x, across: 3, down: 8, width: 63.5 mm, height: 33.9 mm}\n",
       "site.yaml:2:16 error wrong-value `page` wants A4, letter, or a width and a height, such as "
       "`[210 mm, 297 mm]`."},
      {"labels: {page: A4, across: 3, down: 8, width: 63.5, height: 33.9 mm}\n",
       "site.yaml:2:47 error wrong-value `width` wants a length, such as `63.5 mm`."},
      {"labels: {page: A4, across: 3, down: 8, width: 63.5 mm, height: 2 mm}\n",
       "site.yaml:2:64 error out-of-range `height` can be from 8 mm to 2000 mm."},
      {"labels: {page: A4, across: 0, down: 8, width: 63.5 mm, height: 33.9 mm}\n",
       "site.yaml:2:28 error out-of-range `across` can be from 1 to 50."},
      {"labels: {page: A4, acros: 3, across: 3, down: 8, width: 63.5 mm, height: 33.9 mm}\n",
       "site.yaml:2:20 error unknown-key `acros` is not a key of `labels`. Did you mean `across`?"},
      {"labels: {page: A4, across: 3, down: 8, width: 63.5 mm, height: 33.9 mm, gap_down: -1 mm}\n",
       "site.yaml:2:83 error out-of-range `gap_down` can be from 0 mm to 2000 mm."},
  };
  for (const Mistake& mistake : mistakes) {
    CAPTURE(std::string(mistake.lines));
    CHECK(joined(problems_of_site(std::string("site: N\n") + mistake.lines)) ==
          std::string(mistake.problem) + "\n");
    Outcome outcome;
    read(std::string("site: N\n") + mistake.lines, small_batches, outcome);
    if (outcome.problems.front().find("unknown-key") == std::string::npos) {
      CHECK_FALSE(outcome.book->site.labels.has_value());
    }
  }
}
