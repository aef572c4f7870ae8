#include <doctest/doctest.h>

#include <sstream>

#include "../report/loaded.hpp"
#include "../words.hpp"
#include "pictures/pictures.hpp"
#include "plan/rooms/load.hpp"

using namespace budwood;
using budwood::tests::count;

namespace {

class Loaded : public report::test::Loaded {
 public:
  std::string picture() {
    std::ostringstream out;
    fits_ = pictures::write_load_picture(out, plan(), plan::load_of(plan()), {});
    return out.str();
  }
  bool fits() const { return fits_; }

 private:
  bool fits_ = true;
};

}  // namespace

TEST_CASE("the picture has a bar for each stay and hatches what is too much") {
  Loaded loaded;
  const std::string svg = loaded.picture();
  CHECK_FALSE(loaded.fits());
  // Two stays in each of two rooms; dots for the legend and for two cleanings.
  CHECK(count(svg, "<g>") == 4);
  CHECK(count(svg, "url(#dots)") == 3);
  // The legend, one run of days in the chamber, one day of the potters.
  CHECK(count(svg, "url(#grille)") == 3);
  CHECK(svg.find("<title>B, Germinating, 6 trays, Fri 2027-04-30 to Wed 2027-05-05, from Tue "
                 "2027-05-04 for cleaning</title>") != std::string::npos);
  CHECK(svg.find(">holds 7 trays<") != std::string::npos);
  CHECK(svg.find(">May 2027<") != std::string::npos);
}

TEST_CASE("the picture tells the first of the days on which most is taken") {
  Loaded loaded;
  const std::string svg = loaded.picture();
  // Both days on which B stands there while the place of A is cleaned.
  CHECK(svg.find(">most 10 trays<") != std::string::npos);
  CHECK(svg.find(">on Fri 2027-04-30<") != std::string::npos);
}

TEST_CASE("half a tray too much is hatched too") {
  Loaded loaded;
  book::Room& chamber = loaded.book().site.rooms["chamber"];
  chamber.holds = book::Written{{}, "9.5 trays", *units::parse_quantity("9.5 trays"), true};
  const std::string svg = loaded.picture();
  CHECK_FALSE(loaded.fits());
  CHECK(count(svg, "url(#grille)") == 3);
}

TEST_CASE("nothing that somebody has written becomes a part of the picture") {
  Loaded loaded;
  loaded.book().site.name.value = "<script>alert(\"1\")</script> & more";
  const std::string svg = loaded.picture();
  CHECK(svg.find("<script") == std::string::npos);
  CHECK(svg.find("&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt; &amp; more") !=
        std::string::npos);
}

TEST_CASE("a book without batches has an empty picture of its load") {
  report::test::SamplePlan sample(report::test::plugs);
  std::ostringstream svg;
  CHECK(pictures::write_load_picture(svg, sample.plan(), plan::load_of(sample.plan()), {}));
  CHECK(svg.str().ends_with("</svg>\n"));
}
