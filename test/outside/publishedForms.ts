export interface PublishedFile {
  readonly form: string;
  readonly text: string;
  /** `ADDRESS:HEX`, several joined by commas. */
  readonly image: string;
  /** Whether it is spelled as this tool writes the form. */
  readonly spelledAlike: boolean;
}

function files(form: string, lines: string): readonly PublishedFile[] {
  return lines
    .trim()
    .split('\n')
    .map((line) => {
      const [text = '', image = '', alike] = line.split(/ ; (?=[0-9A-F]+:|alike$)/);
      return { form, text: text.trim().replaceAll('\\n', '\n'), image: image.trim(), spelledAlike: alike === 'alike' };
    });
}

/**
 * TI-TXT: TI SLAU101, appendix A.2, as quoted in srec_ti_txt(5); lines as observed from srec_cat 1.64 (-ti-txt).
 */
const TI_TXT = files(
  'ti-txt',
  String.raw`
@F000\n31 40 00 03 B2 40 80 5A 20 01 D2 D3 22 00 D2 E3\n21 00 3F 40 E8 FD 1F 83 FE 23 F9 3F\n@FFFE\n00 F0\nq\n ; F000:31400003B240805A2001D2D32200D2E321003F40E8FD1F83FE23F93F,FFFE:00F0 ; alike
@1234\n31 32 33 34 35 36 37 38 39\nq\n ; 1234:313233343536373839 ; alike
@012340\n31 32 33 34 35 36 37 38 39\nq\n ; 12340:313233343536373839 ; alike
`,
);

/** MOS Technology hex: srec_mos_tech(5); the second line as observed from srec_cat 1.64 (-MOS_Technologies). */
const MOS_TECH = files(
  'mos-tech',
  String.raw`
;0C000048656C6C6F2C20576F726C640454\n;0000010001\n ; 0:48656C6C6F2C20576F726C64 ; alike
;091234313233343536373839022C\n;0000010001\n ; 1234:313233343536373839 ; alike
`,
);

/** What viewers print: xxd of vim 9.0.1378, hexdump of util-linux 2.38.1, od of coreutils 9.1, as observed; forms in xxd(1), hexdump(1), od(1). */
const HEX_VIEW = files(
  'hex-view',
  String.raw`
00000000: 3132 3334 3536 3738 39                   123456789\n ; 0:313233343536373839
00001230: 3132 3334 3536 3738 39                   123456789\n ; 1230:313233343536373839
00000000: 31 32 33 34 35 36 37 38 39                       123456789\n ; 0:313233343536373839 ; alike
00000000  31 32 33 34 35 36 37 38  39 00 00 00 00 00 00 00  |123456789.......|\n00000010  00 00 00 00 00 00 00 00  00 00 00 00 00 00 00 00  |................|\n*\n00000040  00 00 00 00 00 00 00 00  00 31 32 33 34 35 36 37  |.........1234567|\n00000050  38 39                                             |89|\n00000052\n ; 0:31323334353637383900000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000313233343536373839
000000 31 32 33 34 35 36 37 38 39 00 00 00 00 00 00 00\n000010 00 00 00 00 00 00 00 00 00 00 00 00 00 00 00 00\n*\n000040 00 00 00 00 00 00 00 00 00 31 32 33 34 35 36 37\n000050 38 39\n000052\n ; 0:31323334353637383900000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000000313233343536373839
`,
);

/** xxd(1), section EXAMPLES; older versions print seven digits of the address. */
const OLD_XXD = files(
  'hex-view',
  String.raw`
0000000: 2e54 4820 5858 4420 3120 2241  .TH XXD 1 "A\n ; 0:2E5448205858442031202241
`,
);

/**
 * Tektronix extended: srecord's own test of reading the form; UniSite manual, translation formats, figure 6-20 (code 94),
 * address 100h, 6 bytes 20h, sum 1Ch; a line as observed from srec_cat 1.64. The last two have no end record.
 */
const TEKTRONIX_EXTENDED = files(
  'tektronix-extended',
  String.raw`
%1A626810000000202020202020\n%0E81F810000000\n ; 10000000:202020202020 ; alike
%1561C3100202020202020\n ; 100:202020202020
%2067C812345678313233343536373839\n ; 12345678:313233343536373839
`,
);

/** Verilog memory: srec_vmem(5), words of four bytes; a file as observed from srec_cat 1.64 (-vmem 8), with a comment of our own. */
const VERILOG = files(
  'verilog',
  String.raw`
@00000400 48656C6C 6F2C2057 6F726C64 0AFFFFFF\n ; 1000:48656C6C6F2C20576F726C640AFFFFFF
/* written by a tool */\n@00001234 31 32 33 34 35 36 37 38 39\n ; 1234:313233343536373839
`,
);

/** Lists: xxd of vim 9.0.1378 with -p, as observed, and its first line of the page in xxd(1), section EXAMPLES, printed with -ps -c 20. */
const HEX_LIST = files(
  'hex-list',
  String.raw`
313233343536373839000000000000000000000000000000000000000000\n00000000\n ; 0:31323334353637383900000000000000000000000000000000000000000000000000
2e54482058584420312022417567757374203139\n ; 0:2E54482058584420312022417567757374203139
`,
);

export const FORM_FILES: readonly PublishedFile[] = [
  ...TI_TXT,
  ...MOS_TECH,
  ...HEX_VIEW,
  ...OLD_XXD,
  ...TEKTRONIX_EXTENDED,
  ...VERILOG,
  ...HEX_LIST,
];
