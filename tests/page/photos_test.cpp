#include "page/photos/photos.hpp"

#include <doctest/doctest.h>
#include <turbojpeg.h>

#include <vector>

#include "../files/folder.hpp"

/// Photos beside the book: what comes in, and what is kept of it.
namespace budwood::page {

namespace {

/// A picture with a slope of colours.
std::string jpeg(int width, int height) {
  std::vector<unsigned char> colours;
  for (int i = 0; i < width * height; ++i) {
    colours.push_back(static_cast<unsigned char>(i % width));
    colours.push_back(static_cast<unsigned char>(i / width));
    colours.push_back(90);
  }
  void* writer = tjInitCompress();
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  REQUIRE(tjCompress2(writer, colours.data(), width, 0, height, TJPF_RGB, &bytes, &size, TJSAMP_444,
                      90, 0) == 0);
  std::string out(reinterpret_cast<const char*>(bytes), size);
  tjFree(bytes);
  tjDestroy(writer);
  return out;
}

/// The same with what cameras write into it, behind the start of the picture.
std::string with_metadata(std::string picture, const std::string& said) {
  const std::string segment = "Exif" + std::string(2, '\0') + said;
  const std::size_t length = segment.size() + 2;
  const std::string head = {'\xFF', '\xE1', static_cast<char>(length / 256),
                            static_cast<char>(length % 256)};
  return picture.insert(2, head + segment);
}

std::pair<int, int> size_of(const std::string& picture) {
  void* reader = tjInitDecompress();
  int width = 0, height = 0, sampling = 0, space = 0;
  tjDecompressHeader3(reader, reinterpret_cast<const unsigned char*>(picture.data()),
                      picture.size(), &width, &height, &sampling, &space);
  tjDestroy(reader);
  return {width, height};
}

}  // namespace

TEST_CASE("a photo is kept without what else its file says") {
  const Folder book;
  std::string problem;
  const std::string sent = with_metadata(jpeg(60, 40), "51.4779 N, Ana's phone") + "trailing words";
  const std::string name = keep_photo(book.path(), sent, problem);
  REQUIRE(problem == "");
  const auto kept = photo_named(book.path(), name);
  REQUIRE(kept);
  CHECK(kept->find("Ana's phone") == std::string::npos);
  CHECK(kept->find("trailing") == std::string::npos);
  CHECK(kept->find("Exif") == std::string::npos);
  CHECK(size_of(*kept) == std::pair{60, 40});
  // The same picture again, whatever its file says besides.
  CHECK(keep_photo(book.path(), jpeg(60, 40), problem) == name);
}

TEST_CASE("large ones are made smaller") {
  std::string problem;
  const auto plain = plain_photo(jpeg(2600, 900), problem);
  REQUIRE(plain);
  CHECK(size_of(*plain) == std::pair{1300, 450});
  const auto odd = plain_photo(jpeg(3201, 8), problem);
  REQUIRE(odd);
  CHECK(size_of(*odd).first <= 1600);
  CHECK_FALSE(plain_photo(jpeg(12'808, 8), problem));
}

TEST_CASE("what is no picture is refused") {
  const Folder book;
  const std::string picture = jpeg(60, 40);
  std::string huge = jpeg(8, 8);
  // Its header says 65,500 by 65,500.
  const std::size_t frame = huge.find("\xFF\xC0");
  REQUIRE(frame != std::string::npos);
  huge.replace(frame + 5, 4, "\xFF\xDC\xFF\xDC");
  for (const std::string& wrong :
       {std::string(), std::string("x"), std::string("<svg onload='x'/>"), picture.substr(0, 40),
        picture.substr(0, picture.size() / 2), huge, std::string(largest_photo + 1, 'x')}) {
    std::string problem;
    CHECK(keep_photo(book.path(), wrong, problem) == "");
    CHECK(problem != "");
  }
  CHECK(book.content().empty());
}

TEST_CASE("photos are asked for by their names alone") {
  const Folder book;
  book.write("site.yaml", "site: x\n");
  for (const char* wrong : {"", "../site.yaml", "0123456789abcdef.jpg", "0123456789abcde/.jpg",
                            "0123456789ABCDEF.jpg", "0123456789abcdef.yaml"}) {
    CHECK_FALSE(photo_named(book.path(), wrong));
  }
}

}  // namespace budwood::page
