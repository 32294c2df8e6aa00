/**
 * Copies of what the server last said, so that the app opens without a network. A copy is never the truth: it is shown
 * only when the server cannot be asked.
 */
const DATABASE = "evencrumb";
const STORE = "answers";

let opening: Promise<IDBDatabase> | undefined;

function database(): Promise<IDBDatabase> {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opening;
}

export async function rememberAnswer(key: string, answer: unknown): Promise<void> {
  const db = await database();
  await finished(db.transaction(STORE, "readwrite").objectStore(STORE).put(answer, key));
}

export async function recallAnswer<T>(key: string): Promise<T | undefined> {
  const db = await database();
  return (await finished(db.transaction(STORE, "readonly").objectStore(STORE).get(key))) as T | undefined;
}

function finished<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
