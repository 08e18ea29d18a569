/* base64: bytes as text (RFC 4648, section 4). */
#include <report/parts.h>

#include <string.h>

static void base64_add(nw_text *text, const uint8_t *bytes, size_t length)
{
    static const char letters[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (size_t i = 0; i < length; i += 3) {
        size_t left = length - i;
        uint32_t three = (uint32_t)bytes[i] << 16;
        three |= left > 1 ? (uint32_t)bytes[i + 1] << 8 : 0;
        three |= left > 2 ? bytes[i + 2] : 0;
        char four[4] = {letters[three >> 18], letters[three >> 12 & 63],
                        left > 1 ? letters[three >> 6 & 63] : '=',
                        left > 2 ? letters[three & 63] : '='};
        nw_text_add_bytes(text, four, sizeof four);
    }
}

void nw_report_base64_doubles(nw_text *text, const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i += 3) { /* three doubles are 24 bytes: no padding within */
        uint8_t bytes[24];
        size_t many = count - i < 3 ? count - i : 3;
        for (size_t k = 0; k < many; k++) {
            uint64_t bits;
            memcpy(&bits, &numbers[i + k], sizeof bits);
            for (size_t b = 0; b < 8; b++)
                bytes[8 * k + b] = (uint8_t)(bits >> 8 * b);
        }
        base64_add(text, bytes, 8 * many);
    }
}
