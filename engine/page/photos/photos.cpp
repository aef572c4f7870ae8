#include "page/photos/photos.hpp"

#include <turbojpeg.h>

#include <memory>
#include <ostream>
#include <vector>

#include "digest/digest.hpp"
#include "files/read.hpp"
#include "files/write.hpp"

namespace budwood::page {

namespace {

namespace fs = std::filesystem;

constexpr int longest_side = 1600;                ///< pixels, of what is kept
constexpr std::int64_t most_pixels = 40'000'000;  ///< of what is sent, as phones take them
constexpr int quality = 82;
constexpr std::size_t name_digits = 16;

struct Ends {
  void operator()(void* handle) const { tjDestroy(handle); }
};
using Handle = std::unique_ptr<void, Ends>;

struct Frees {
  void operator()(unsigned char* bytes) const { tjFree(bytes); }
};

struct Picture {
  int width = 0, height = 0;
  std::vector<unsigned char> colours;  ///< red, green, blue, row by row
};

/// The picture, halved as often as it is too large.
std::optional<Picture> decoded(std::string_view bytes) {
  const Handle reader(tjInitDecompress());
  const auto* data = reinterpret_cast<const unsigned char*>(bytes.data());
  int width = 0, height = 0, sampling = 0, space = 0;
  if (reader == nullptr || tjDecompressHeader3(reader.get(), data, bytes.size(), &width, &height,
                                               &sampling, &space) != 0) {
    return std::nullopt;
  }
  if (width < 1 || height < 1 || std::int64_t{width} * height > most_pixels) return std::nullopt;
  constexpr int smallest_part = 8;  // that the library draws at once
  tjscalingfactor scale{1, 1};
  const auto longest = [&] { return TJSCALED(std::max(width, height), scale); };
  while (scale.denom < smallest_part && longest() > longest_side) scale.denom *= 2;
  if (longest() > longest_side) return std::nullopt;
  Picture out{TJSCALED(width, scale), TJSCALED(height, scale), {}};
  out.colours.resize(std::size_t{3} * static_cast<std::size_t>(out.width) *
                     static_cast<std::size_t>(out.height));
  // A picture that breaks off is only warned of.
  if (tjDecompress2(reader.get(), data, bytes.size(), out.colours.data(), out.width, 0, out.height,
                    TJPF_RGB, TJFLAG_STOPONWARNING) != 0) {
    return std::nullopt;
  }
  return out;
}

std::optional<std::string> encoded(const Picture& picture) {
  const Handle writer(tjInitCompress());
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  const bool done = writer != nullptr && tjCompress2(writer.get(), picture.colours.data(),
                                                     picture.width, 0, picture.height, TJPF_RGB,
                                                     &bytes, &size, TJSAMP_420, quality, 0) == 0;
  const std::unique_ptr<unsigned char, Frees> held(bytes);
  if (!done) return std::nullopt;
  return std::string(reinterpret_cast<const char*>(bytes), size);
}

bool is_photo_name(const std::string& name) {
  constexpr std::string_view ending = ".jpg";
  return name.size() == name_digits + ending.size() && name.ends_with(ending) &&
         name.find_first_not_of("0123456789abcdef") == name_digits;
}

}  // namespace

std::optional<std::string> plain_photo(std::string_view bytes, std::string& problem) {
  if (bytes.size() > largest_photo) {
    problem = "This picture is larger than a photo may be: 3 MB at most.";
    return std::nullopt;
  }
  const std::optional<Picture> picture = decoded(bytes);
  std::optional<std::string> out = picture ? encoded(*picture) : std::nullopt;
  if (!out)
    problem =
        "This is no JPEG picture that can be read, of 40 million points and 12800 a side at most.";
  return out;
}

std::string keep_photo(const fs::path& book, std::string_view bytes, std::string& problem) {
  const std::optional<std::string> plain = plain_photo(bytes, problem);
  if (!plain) return {};
  const fs::path folder = book / "photos";
  std::error_code failure;
  fs::create_directory(folder, failure);
  if (failure) {
    problem = "The folder `photos` cannot be made: " + failure.message() + ".";
    return {};
  }
  const std::string name = digest::sha256(*plain).substr(0, name_digits) + ".jpg";
  if (fs::exists(folder / name, failure)) return name;
  problem = files::write_whole(folder / name, [&](std::ostream& out) { out << *plain; });
  return problem.empty() ? name : "";
}

std::optional<std::string> photo_named(const fs::path& book, const std::string& name) {
  if (!is_photo_name(name)) return std::nullopt;
  files::Bytes read = files::read_bytes(book / "photos" / name, largest_photo);
  if (!read.ok()) return std::nullopt;
  return std::move(read.bytes);
}

}  // namespace budwood::page
