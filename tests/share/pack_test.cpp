#include <doctest/doctest.h>

#include <fstream>
#include <random>

#include "../book/book_folder.hpp"
#include "book/library.hpp"
#include "method.hpp"
#include "share/archive.hpp"
#include "share/pack.hpp"
#include "share/signature.hpp"
#include "share/unpack.hpp"

/// Packs: the archive, what it says of itself, who signed it, and what it would change elsewhere.
namespace {

using namespace budwood;
using book::test::Folder;
using share::test::protocol;

const char* const rules =
    "rules house \"House rules\" { rule long { for each stage s { advise s.days >= 1 day else "
    "\"short\" } } }\n";

/// A folder of protocols as one library.
struct Library {
  text::Sources sources;
  text::Diagnostics diagnostics;
  language::Document document;

  explicit Library(const Folder& folder) {
    document = book::read_library({{folder.path(), {}}}, {}, sources, diagnostics);
    REQUIRE(!diagnostics.has_errors());
  }
};

share::Pack packed(const Library& library, const std::string& key = "",
                   const share::PackNotes& notes = {}) {
  share::Packing packing{library.document, {}, {}, notes, {}, key};
  for (const auto& one : library.document.protocols) packing.protocols.push_back(&one);
  for (const auto& one : library.document.rule_sets) packing.rule_sets.push_back(&one);
  std::string problem;
  const auto out = share::pack(packing, problem);
  INFO(problem);
  REQUIRE(out);
  return *out;
}

struct Opened {
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::string problem;
  std::optional<share::OpenPack> pack;

  explicit Opened(std::string_view bytes) {
    pack = share::open_pack(bytes, "x.zip", {}, sources, diagnostics, problem);
    REQUIRE(pack.has_value() == problem.empty());
  }
};

/// A folder with a protocol and a rule set, and its pack.
struct Sent {
  Folder folder;
  Sent() {
    folder.write("p.bud", protocol(1, "5"));
    std::filesystem::create_directory(folder.path() / "rules");
    folder.write("rules/house.bud", rules);
  }
  share::Pack pack(const std::string& key = "") const {
    const Library library(folder);
    return packed(library, key, {"A. Grower", "CC0-1.0", "for spring"});
  }
};

/// Packs of nothing but these files, with a manifest that fits them.
std::string pack_of(std::vector<share::ArchivedFile> files, const share::Manifest& manifest) {
  files.push_back({share::manifest_path, share::manifest_text(manifest)});
  return share::write_archive(std::move(files));
}

}  // namespace

TEST_CASE("what is packed comes out as it went in") {
  const Sent sent;
  const share::Pack pack = sent.pack();
  const Opened opened(pack.bytes);
  REQUIRE(opened.pack);
  CHECK(opened.pack->manifest.notes.author == "A. Grower");
  REQUIRE(opened.pack->files.size() == 2);
  CHECK(opened.pack->files[0].path == "protocols/p.bud");
  CHECK(opened.pack->files[0].content == protocol(1, "5"));
  CHECK(opened.pack->files[1].path == "protocols/rules/house.bud");
  CHECK(opened.pack->signer.empty());
}

TEST_CASE("pages for people go along, and stay in the pack") {
  const Sent sent;
  const Library library(sent.folder);
  const language::Protocol& protocol = library.document.protocols.front();
  const share::ArchivedFile page{share::page_path(protocol), "<!DOCTYPE html><p>How to do it</p>"};
  CHECK(page.path == "pages/p_edition_1.html");
  share::Packing packing{library.document, {&protocol}, {}, {}, {page}, ""};
  std::string problem;
  const auto pack = share::pack(packing, problem);
  REQUIRE(pack);
  CHECK(share::read_archive(pack->bytes).files.size() == 3);
  const Opened opened(pack->bytes);
  REQUIRE(opened.pack);
  CHECK(opened.pack->manifest.files[0].path == page.path);
  REQUIRE(opened.pack->files.size() == 1);
  const Folder empty;
  share::Target target{empty.path(), {}, nullptr};
  CHECK(share::plan_unpacking(*opened.pack, target).files.size() == 1);
}

TEST_CASE("what a protocol is based on goes along") {
  const Folder folder;
  folder.write("base.bud", protocol(1, "5"));
  folder.write(
      "north.bud",
      "protocol north based on p edition 1 \"North\" { change stage s { lasts 6 days } }\n");
  const Library library(folder);
  const auto north =
      std::find_if(library.document.protocols.begin(), library.document.protocols.end(),
                   [](const auto& one) { return one.name == "north"; });
  REQUIRE(north != library.document.protocols.end());
  share::Packing packing{library.document, {&*north}, {}, {}, {}, ""};
  std::string problem;
  const auto pack = share::pack(packing, problem);
  REQUIRE(pack);
  const Opened opened(pack->bytes);
  REQUIRE(opened.pack);
  CHECK(opened.pack->files.size() == 2);
  CHECK(opened.pack->manifest.files[1].holds[0].rests_on ==
        std::vector<std::string>{"p edition 1"});
  // An edition of the base alone, changed, makes it mean something else.
  folder.write(
      "base.bud",
      "protocol p \"Method\" { edition 1 part a stage s of a { lasts 5 days room bench } }\n");
  const Library changed(folder);
  CHECK(changed.document.protocols.back().fingerprint != north->fingerprint);
}

TEST_CASE("the same protocols give the same bytes, wherever they lie and whatever the clock says") {
  const Sent one;
  const std::string first = one.pack().bytes;
  setenv("TZ", "Asia/Tokyo", 1);
  tzset();
  const Sent other;
  CHECK(other.pack().bytes == first);
  setenv("TZ", "America/Caracas", 1);
  tzset();
  CHECK(other.pack().bytes == first);
  unsetenv("TZ");
  tzset();
}

TEST_CASE("signatures tell who packed") {
  const share::KeyPair keys = share::make_keys();
  const share::KeyPair others = share::make_keys();
  CHECK(keys.public_key != others.public_key);
  CHECK(share::is_public_key(keys.public_key));
  CHECK(share::read_secret_key(share::secret_key_text(keys)) == keys.secret_key);
  CHECK_FALSE(share::read_secret_key(share::public_key_text(keys)));
  const Sent sent;
  const Opened opened(sent.pack(keys.secret_key).bytes);
  REQUIRE(opened.pack);
  CHECK(opened.pack->signer == keys.public_key);

  const std::string signature = share::sign("text", keys.secret_key);
  CHECK(share::signer_of("text", signature) == keys.public_key);
  CHECK_FALSE(share::signer_of("Text", signature));
  for (std::size_t i = 0; i < signature.size(); ++i) {
    std::string broken = signature;
    broken[i] = broken[i] == '0' ? '1' : '0';
    CHECK_FALSE(share::signer_of("text", broken));
  }
}

TEST_CASE("a manifest is read back, and nothing else is one") {
  const share::Pack pack = Sent().pack();
  const std::string text = share::manifest_text(pack.manifest);
  std::string problem;
  CHECK(share::manifest_text(share::read_manifest(text, problem)) == text);
  CHECK(problem.empty());
  const auto refused = [&](const std::string& from, const std::string& to) {
    std::string other = text;
    const std::size_t at = other.find(from);
    REQUIRE(at != std::string::npos);
    other.replace(at, from.size(), to);
    share::read_manifest(other, problem);
    return !problem.empty();
  };
  CHECK(refused("\"budwood_pack\": 1", "\"budwood_pack\": 2"));
  CHECK(refused("\"budwood_pack\": 1", "\"budwood_pack\": \"1\""));
  CHECK(refused("\"author\": \"A. Grower\"", "\"author\": 7"));
  CHECK(refused("\"author\": \"A. Grower\",", ""));
  CHECK(refused("\"edition\": 1", "\"edition\": -1"));
  CHECK(refused("\"edition\": 1", "\"edition\": 1.5"));
  CHECK(refused("\"edition\": 1", "\"edition\": 1e300"));
  CHECK(refused("\"kind\": \"protocol\"", "\"kind\": \"plan\""));
  CHECK(refused("\"rests_on\": []", "\"rests_on\": {}"));
  CHECK(refused("\"rests_on\": []", "\"rests_on\": [1]"));
  CHECK(refused("\"note\": \"for spring\"", "\"note\": \"for spring\", \"more\": 1"));
  CHECK(refused("\"sha256\": \"", "\"sha256\": \"x"));
  for (const std::string& other :
       {std::string(), std::string("[]"), std::string("null"), std::string("{"),
        std::string(100'000, '['), std::string(100'000, '{'), "\xff" + text}) {
    share::read_manifest(other, problem);
    CHECK_FALSE(problem.empty());
  }
}

TEST_CASE("paths that are plain, and paths that are not") {
  for (const char* path : {"manifest.json", "protocols/p.bud", "protocols/rules/a-b_c.2.bud"}) {
    CHECK(share::is_plain_path(path));
  }
  for (const char* path : {"",
                           "/p.bud",
                           "../p.bud",
                           "protocols/../p.bud",
                           "protocols//p.bud",
                           "protocols/",
                           "C:p.bud",
                           "protocols\\p.bud",
                           ".hidden",
                           "a/.hidden",
                           "p.",
                           "p ",
                           "a b.bud",
                           "grün.bud",
                           "CON",
                           "nul.bud",
                           "com1.bud",
                           "a/b/c/d.bud",
                           "p\n.bud",
                           "~root"}) {
    CAPTURE(path);
    CHECK_FALSE(share::is_plain_path(path));
  }
}

TEST_CASE("an archive that no disk could hold, or that would fill one, is refused") {
  // Disks that know no capital letters would let the second take the place of the first.
  const std::string twice =
      share::write_archive({{"protocols/P.bud", "a"}, {"protocols/p.bud", "b"}});
  CHECK(share::read_archive(twice).problem.find("twice but for capital letters") !=
        std::string::npos);
  CHECK(share::read_archive(twice).files.empty());
  std::vector<share::ArchivedFile> many;
  for (int i = 0; i < 64; ++i) {
    many.push_back({"p" + std::to_string(i), std::string(share::largest_entry, 'x')});
  }
  CHECK(share::read_archive(share::write_archive(many)).files.size() == 64);
  many.push_back({"q", "x"});
  CHECK(share::read_archive(share::write_archive(many)).problem == "it holds more than 64 MB");
}

TEST_CASE("author, licence and note have 4000 letters each, and not one more") {
  const Sent sent;
  const Library library(sent.folder);
  const auto problem = [&](const share::PackNotes& notes) {
    share::Packing packing{
        library.document, {&library.document.protocols.front()}, {}, notes, {}, ""};
    std::string out;
    share::pack(packing, out);
    return out;
  };
  const std::string longest(4000, 'x');
  CHECK(problem({longest, longest, longest}) == "");
  const share::Pack pack = packed(library, "", {"A. Grower", "CC0-1.0", longest});
  CHECK(Opened(pack.bytes).problem == "");
  CHECK(problem({"", "", longest + "x"}) == "Author, licence and note have 4000 letters at most.");
}

TEST_CASE("what a pack says of itself has to be so") {
  const share::Pack pack = Sent().pack();
  const Opened good(pack.bytes);
  REQUIRE(good.pack);
  const std::vector<share::ArchivedFile>& files = good.pack->files;
  const auto problem = [&](std::vector<share::ArchivedFile> other,
                           const share::Manifest& manifest) {
    return Opened(pack_of(std::move(other), manifest)).problem;
  };
  CHECK(problem(files, pack.manifest).empty());

  CHECK(problem({files[0]}, pack.manifest).find("is missing from it") != std::string::npos);
  std::vector<share::ArchivedFile> more = files;
  more.push_back({"protocols/q.bud", "x"});
  CHECK(problem(more, pack.manifest).find("does not name") != std::string::npos);
  std::vector<share::ArchivedFile> changed = files;
  changed[0].content = protocol(1, "6");
  CHECK(problem(changed, pack.manifest).find("is not what its manifest says") != std::string::npos);

  // The hash fits, but the protocol is another one.
  share::Manifest manifest = pack.manifest;
  manifest.files[0].holds[0].fingerprint = std::string(64, 'a');
  CHECK(problem(files, manifest).find("does not hold what its manifest says") != std::string::npos);
  manifest = pack.manifest;
  manifest.files[0].holds[0].edition = 2;
  CHECK(problem(files, manifest).find("does not hold what its manifest says") != std::string::npos);
  manifest = pack.manifest;
  manifest.files[0].path = "../p.bud";
  CHECK(problem(files, manifest).find("where none belongs") != std::string::npos);
  manifest = pack.manifest;
  manifest.files.push_back(manifest.files[0]);
  CHECK(problem(files, manifest).find("twice") != std::string::npos);
  CHECK(Opened(share::write_archive(files)).problem.find("no `manifest.json`") !=
        std::string::npos);
  CHECK(Opened(std::string_view()).problem.find("no ZIP archive") != std::string::npos);
}

TEST_CASE("a pack with any byte changed or cut off is refused or means the same") {
  const share::Pack pack = Sent().pack(share::make_keys().secret_key);
  const std::string form = Opened(pack.bytes).pack->files[0].content;
  std::mt19937 random(20270314);
  std::size_t refused = 0;
  const auto try_out = [&](const std::string& bytes) {
    const Opened opened(bytes);
    if (!opened.pack) {
      ++refused;
      return;
    }
    // Dates and the like of the archive may change; what is unpacked may not.
    REQUIRE(opened.pack->files[0].content == form);
    REQUIRE(share::manifest_text(opened.pack->manifest) == share::manifest_text(pack.manifest));
  };
  for (std::size_t at = 0; at < pack.bytes.size(); at += 3) {
    std::string bytes = pack.bytes;
    bytes[at] = static_cast<char>(bytes[at] ^ static_cast<char>(1U << (random() % 8)));
    try_out(bytes);
  }
  const std::size_t flipped = refused;
  CHECK(flipped > pack.bytes.size() / 6);
  std::size_t cut = 0;
  for (std::size_t size = 0; size + 1 < pack.bytes.size(); size += 7) {
    try_out(pack.bytes.substr(0, size));
    ++cut;
  }
  CHECK(refused - flipped == cut);
  for (int round = 0; round < 200; ++round) {
    std::string bytes = pack.bytes;
    for (int i = 0; i < 5; ++i) bytes[random() % bytes.size()] = static_cast<char>(random());
    bytes.erase(random() % bytes.size(), random() % 40);
    try_out(bytes);
  }
}

namespace {

/// What unpacking a pack would do in a folder of protocols.
share::Unpacking plan_into(const share::Pack& pack, const Folder& folder) {
  const Library library(folder);
  const Opened opened(pack.bytes);
  REQUIRE(opened.pack);
  share::Target target{folder.path(), library.document, nullptr};
  return share::plan_unpacking(*opened.pack, target);
}

std::string content_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("unpacking into a folder: what is new, what is there, what is in the way") {
  using Kind = share::Arrival::Kind;
  const share::Pack pack = Sent().pack();
  const Folder empty;
  share::Unpacking plan = plan_into(pack, empty);
  REQUIRE(plan.arrivals.size() == 2);
  CHECK(plan.arrivals[0].kind == Kind::fresh);
  CHECK(plan.files.size() == 2);
  CHECK(files::place_all(plan.files, empty.path()).empty());
  CHECK(content_of(empty.path() / "p.bud") == protocol(1, "5"));
  CHECK(content_of(empty.path() / "rules" / "house.bud") == rules);

  plan = plan_into(pack, empty);
  CHECK(plan.arrivals[0].kind == Kind::present);
  CHECK(plan.files.empty());
  CHECK(plan.refusals.empty());

  const Folder older;
  older.write("p.bud", protocol(3, "5"));
  plan = plan_into(pack, older);
  CHECK(plan.arrivals[0].kind == Kind::edition);
  CHECK(plan.arrivals[0].file == older.path() / "p_edition_1.bud");

  const Folder other;
  other.write("mine.bud", protocol(1, "9"));
  plan = plan_into(pack, other);
  CHECK(plan.files.empty());
  REQUIRE(plan.refusals.size() == 1);
  CHECK(plan.refusals[0].find("means something else") != std::string::npos);
}

TEST_CASE("batches of a book stay on their editions when a new one comes") {
  const Folder folder;
  folder.write("site.yaml", "site: North house\n");
  folder.write("batches.yaml",
               "batches:\n  - {batch: A1, protocol: p, plants: 6, ready: 2027-05-10}\n");
  folder.write("p.bud", protocol(1, "5"));
  Sent sent;
  sent.folder.write("p.bud", protocol(2, "6"));
  const share::Pack pack = sent.pack();
  const auto read = [&](text::Sources& sources) {
    text::Diagnostics diagnostics;
    return *book::read_book(folder.path(), sources, diagnostics);
  };
  text::Sources sources;
  const book::Book before = read(sources);
  const Opened opened(pack.bytes);
  REQUIRE(opened.pack);
  const share::Target target{folder.path(), {before.protocols, before.rule_sets, {}, {}}, &before};
  const share::Unpacking plan = share::plan_unpacking(*opened.pack, target);
  REQUIRE(plan.files.size() == 3);
  CHECK(plan.files[0].path == folder.path() / "editions.yaml");
  CHECK(files::place_all(plan.files, folder.path()).empty());
  const book::Book after = read(sources);
  CHECK(after.protocols.size() == 2);
  CHECK(book::protocol_of(after, after.batches.front())->edition == 1);
}

TEST_CASE("two files of a pack never come to lie in one place") {
  // The older edition of `p` moves to the name that a file of the pack has already.
  Sent sent;
  sent.folder.write("p_edition_1.bud",
                    "protocol q \"Another\" { edition 1 part a stage s of a { lasts 2 days } }\n");
  const share::Pack pack = sent.pack();
  const Folder older;
  older.write("p.bud", protocol(3, "5"));
  const share::Unpacking plan = plan_into(pack, older);
  CHECK(plan.refusals.empty());
  REQUIRE(plan.files.size() == 3);
  CHECK(plan.files[0].path == older.path() / "p_edition_1.bud");
  CHECK(plan.files[1].path == older.path() / "p_edition_1_edition_1.bud");
  CHECK(files::place_all(plan.files, older.path()).empty());
  CHECK(content_of(plan.files[0].path) == protocol(1, "5"));
  CHECK(content_of(plan.files[1].path).starts_with("protocol q"));
}

TEST_CASE("where every batch says its edition itself a new one touches no list of editions") {
  const Folder folder;
  folder.write("site.yaml", "site: North house\n");
  folder.write("batches.yaml",
               "batches:\n  - {batch: A1, protocol: p edition 1, plants: 6, ready: 2027-05-10}\n");
  folder.write("p.bud", protocol(1, "5"));
  Sent sent;
  sent.folder.write("p.bud", protocol(2, "6"));
  text::Sources sources;
  text::Diagnostics diagnostics;
  const book::Book before = *book::read_book(folder.path(), sources, diagnostics);
  const Opened opened(sent.pack().bytes);
  REQUIRE(opened.pack);
  const share::Target target{folder.path(), {before.protocols, before.rule_sets, {}, {}}, &before};
  const share::Unpacking plan = share::plan_unpacking(*opened.pack, target);
  REQUIRE(plan.files.size() == 2);
  CHECK(plan.files[0].path == folder.path() / "p_edition_2.bud");
}

namespace {

std::string looking_up(const std::string& table) {
  return "protocol dipped \"Dipped\" {\n  input dip = " + table +
         "(dogwood)\n  part plant\n  stage s of plant { lasts 1 day  loses dip }\n}\n";
}

const char* const strengths = "table iba (plant -> ppm) { dogwood: 3000  olive: 4000 }\n";

/// A folder with a protocol that looks something up in a shared table.
struct SharedTables {
  Folder folder;
  explicit SharedTables(const std::string& table = strengths) {
    folder.write("dipped.bud", looking_up("iba"));
    std::filesystem::create_directory(folder.path() / "rules");
    folder.write("rules/hormone.bud", table);
  }
};

}  // namespace

TEST_CASE("a protocol takes the shared tables along in which it looks something up") {
  const SharedTables sent;
  const share::Pack pack = packed(Library(sent.folder));
  const Opened opened(pack.bytes);
  REQUIRE(opened.pack);
  REQUIRE(opened.pack->tables.size() == 1);
  CHECK(opened.pack->tables.front().first == "protocols/rules/hormone.bud");

  const Folder empty;
  const Library nothing(empty);
  const share::Unpacking unpacking =
      share::plan_unpacking(*opened.pack, {empty.path(), nothing.document, nullptr});
  CHECK(unpacking.refusals.empty());
  REQUIRE(unpacking.files.size() == 2);
  CHECK(unpacking.files.back().path == empty.path() / "rules" / "hormone.bud");
  REQUIRE(unpacking.tables.size() == 1);
  CHECK(unpacking.tables.front() == unpacking.files.back().path);

  // Who has them already is given nothing, and who has others of that name is asked.
  const SharedTables same;
  const Library like(same.folder);
  CHECK(share::plan_unpacking(*opened.pack, {same.folder.path(), like.document, nullptr})
            .files.empty());
  const SharedTables changed("table iba (plant -> ppm) { dogwood: 2500 }\n");
  const Library unlike(changed.folder);
  const auto refused =
      share::plan_unpacking(*opened.pack, {changed.folder.path(), unlike.document, nullptr});
  CHECK(refused.files.empty());
  REQUIRE_FALSE(refused.refusals.empty());
  CHECK(refused.refusals.back().find("The shared table `iba`") != std::string::npos);
}

TEST_CASE("a file that holds a known table beside a new one is refused") {
  const SharedTables sent(std::string(strengths) + "table naa (plant -> ppm) { dogwood: 500 }\n");
  const Opened opened(packed(Library(sent.folder)).bytes);
  REQUIRE(opened.pack);
  const SharedTables here;
  const Library known(here.folder);
  const auto refused =
      share::plan_unpacking(*opened.pack, {here.folder.path(), known.document, nullptr});
  CHECK(refused.files.empty());
  REQUIRE_FALSE(refused.refusals.empty());
  CHECK(refused.refusals.front().find("beside a new one") != std::string::npos);
}

TEST_CASE("a changed shared table changes what a protocol means, another one does not") {
  const auto print = [](const std::string& table) {
    const SharedTables one(table);
    return Library(one.folder).document.protocols.front().fingerprint;
  };
  const std::string as_it_is = print(strengths);
  CHECK(print(strengths + std::string("table other (plant -> ppm) { dogwood: 1 }\n")) == as_it_is);
  CHECK(print("table iba (plant -> ppm) { dogwood: 3000  olive: 4001 }\n") != as_it_is);
}
