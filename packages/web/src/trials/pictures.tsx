export { MeansPicture } from "./pictures/MeansPicture.js";
export { TasterDots } from "./pictures/TasterDots.js";
