#include "shop/content_hash.hpp"

#include <gtest/gtest.h>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

// NIST FIPS 180-4 example values for SHA-256 ("abc"; the 56-character message). From memory, agreed by
// sha256sum.
TEST(ContentHash, AgreesWithThePublishedExamplesOfSha256) {
  EXPECT_EQ(content_hash("abc").hex(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(content_hash("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq").hex(),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

TEST(ContentHash, AScanThatArrivesInPiecesHasTheHashOfTheWhole) {
  const std::string scan(10'000, 's');
  ContentHasher hasher;
  hasher.add(std::as_bytes(std::span(scan).first(3333)));
  hasher.add(std::as_bytes(std::span(scan).subspan(3333)));
  EXPECT_EQ(hasher.finish(), content_hash(scan));
}

TEST(ContentHash, ReadsBackFromItsDigitsAndRefusesOthers) {
  const ContentHash hash = content_hash("TM-0412");
  EXPECT_EQ(ContentHash::from_hex(hash.hex()), hash);
  EXPECT_THROW(ContentHash::from_hex("ab"), InputError);
  EXPECT_THROW(ContentHash::from_hex(std::string(64, 'G')), InputError);
  EXPECT_THROW(ContentHash::from_hex(std::string(64, 'A')), InputError);
}

}  // namespace
}  // namespace boxfettle
